using System.Text.Json;
using Custody.Evidence;
using Custody.Evidence.Weight;

namespace Custody.Bats;

/// <summary>Whether a rule's threshold is kept.</summary>
public enum RuleMet
{
    Yes,
    No,
    CannotBeTold,
}

/// <summary>One rule of the rubric and what it read.</summary>
/// <param name="Use">The word of use it can earn; null for a rule of condition.</param>
/// <param name="Condition">The word of condition it guards; null for a rule of use.</param>
/// <param name="Threshold">At least so many marks for use, at most so many for condition.</param>
/// <param name="Counted">Marks counted; at least so many when not everything was judged.</param>
/// <param name="Examination">Where they were counted; null when no examination speaks of the kind.</param>
/// <param name="ReadTwice">The rubric says that both use and condition read this kind.</param>
public sealed record RuleRead(
    UseWord? Use, ConditionWord? Condition, FindingKind Reads, int Threshold, int Counted, bool Judged, long? Examination, RuleMet Met, bool ReadTwice);

/// <summary>What the rubric gives: three words, each by its own rules, never one number.</summary>
/// <param name="Method">Name and version of the method.</param>
/// <param name="UseIsAtLeast">Marks of a kind that counts as use could not all be judged: there may be more.</param>
/// <param name="LimitedByPictures">Parts of the grade that pictures alone cannot carry.</param>
/// <param name="Rules">Every rule with what it read, in the rubric's order.</param>
public sealed record RubricGrade(
    string Method, Grade Grade, bool UseIsAtLeast, IReadOnlyList<GradeAxis> LimitedByPictures, IReadOnlyList<RuleRead> Rules);

/// <summary>Computes a grade. Same findings and same rubric, same grade; counting and comparing only, so that every checker gets the same.</summary>
public static class RubricGrading
{
    /// <summary>Name and version of the method.</summary>
    public const string Method = "rubric-grade/1";

    /// <summary>log10 of a likelihood ratio of 2: an interval's end nearer to 1 than that supports neither.</summary>
    static readonly DecimalText Log2 = DecimalText.Parse("0.301");

    /// <summary>The grade by a permitted rubric.</summary>
    /// <param name="marks">As <see cref="Marks.In"/> counts them.</param>
    /// <param name="pairs">The pairs of propositions the support is read from: those of one level, with every alternative weighed.</param>
    /// <param name="picturesOnly">No examination saw the bat itself.</param>
    public static RubricGrade Of(
        RubricPublished rubric, IReadOnlyDictionary<FindingKind, MarkCount> marks, IEnumerable<(SupportFor For, SupportWord Word)> pairs, bool picturesOnly)
    {
        RuleRead[] use = [.. rubric.UseRules.Select(r => Read(rubric, marks, r))];
        RuleRead[] condition = [.. rubric.ConditionRules.Select(r => Read(rubric, marks, r))];
        var (side, support) = Least(pairs);
        var grade = new Grade(side, support, UseOf(use), ConditionOf(condition));
        var limits = rubric.FromPicturesOnly;
        GradeAxis[] limited = picturesOnly ? [.. Enum.GetValues<GradeAxis>().Where(axis => !limits.Allows(axis, grade))] : [];
        return new RubricGrade(
            Method, limited.Aggregate(grade, limits.Bring), use.Any(r => r.Met == RuleMet.CannotBeTold && r.Use > grade.Use), limited, [.. use, .. condition]);
    }

    /// <summary>The rubric's bands as a verbal scale. Thresholds are rounded as the weights are, so that no platform's last bit decides a word.</summary>
    internal static VerbalScale Scale(IReadOnlyList<SupportBand> bands) => new("rubric", 1, "the bands of the rubric cited",
        [.. bands.Select(b => new ScaleBand(JsonNamingPolicy.CamelCase.ConvertName(b.Word.ToString()), DecimalText.Computed(Math.Log10(b.From.Value.ToDouble()), 3), Spoken(b.Word)))]);

    /// <summary>The word of an interval of log10 weights (unit 1, three places) by the rubric's bands. The end nearest 1 picks it; an interval that
    /// contains 1, or an end between 1/2 and 2, supports neither.</summary>
    public static (SupportFor For, SupportWord Word) WordOf(IReadOnlyList<SupportBand> bands, DecimalText low, DecimalText high)
    {
        var words = Scale(bands).Words(low, high);
        var end = words.For == Direction.Alternative ? -high : low;
        return words.For == Direction.Neither || end < Log2 ? (SupportFor.Neither, SupportWord.Neither)
            : (words.For == Direction.Proposition ? SupportFor.Proposition : SupportFor.Alternative, Enum.Parse<SupportWord>(words.Word, ignoreCase: true));
    }

    static string Spoken(SupportWord word) => JsonNamingPolicy.KebabCaseLower.ConvertName(word.ToString()).Replace('-', ' ') + " support";

    /// <summary>Whoever proposes something has to face every alternative: the weakest support counts, and sides that differ support neither.</summary>
    static (SupportFor For, SupportWord Word) Least(IEnumerable<(SupportFor For, SupportWord Word)> pairs)
    {
        var all = pairs.ToList();
        return all.Count == 0 || all.Exists(p => p.For != all[0].For) || all[0].For == SupportFor.Neither
            ? (SupportFor.Neither, SupportWord.Neither) : (all[0].For, all.Min(p => p.Word));
    }

    static RuleRead Read(RubricPublished rubric, IReadOnlyDictionary<FindingKind, MarkCount> marks, UseRule rule)
    {
        var mark = marks.GetValueOrDefault(rule.Reads) ?? Unseen;
        return new(rule.Word, null, rule.Reads, rule.AtLeast, mark.Least, mark.Judged, mark.Examination,
            mark.Least >= rule.AtLeast ? RuleMet.Yes : mark.Judged ? RuleMet.No : RuleMet.CannotBeTold, rubric.ReadTwice.Contains(rule.Reads));
    }

    static RuleRead Read(RubricPublished rubric, IReadOnlyDictionary<FindingKind, MarkCount> marks, ConditionRule rule)
    {
        var mark = marks.GetValueOrDefault(rule.Reads) ?? Unseen;
        return new(null, rule.Word, rule.Reads, rule.AtMost, mark.Least, mark.Judged, mark.Examination,
            mark.Least > rule.AtMost ? RuleMet.No : mark.Judged ? RuleMet.Yes : RuleMet.CannotBeTold, rubric.ReadTwice.Contains(rule.Reads));
    }

    // What nobody looked for is not absent.
    static readonly MarkCount Unseen = new(0, Judged: false, Examination: null);

    /// <summary>The highest word earned by any rule. Nothing earned is "none seen" only when every kind was judged.</summary>
    static UseWord UseOf(RuleRead[] rules) =>
        rules.Where(r => r.Met == RuleMet.Yes).Select(r => r.Use!.Value).DefaultIfEmpty(
            rules.Length == 0 || rules.Any(r => r.Met == RuleMet.CannotBeTold) ? UseWord.NotAssessable : UseWord.NoneSeen).Max();

    /// <summary>The best word of which no rule, nor any of a lesser word, is broken; "not assessable" where what was not judged decides it.</summary>
    static ConditionWord ConditionOf(RuleRead[] rules)
    {
        if (rules.Length == 0) return ConditionWord.NotAssessable;
        var (worst, best) = (Best(rules, r => r.Met == RuleMet.Yes), Best(rules, r => r.Met != RuleMet.No));
        return worst == best ? best : ConditionWord.NotAssessable;
    }

    static ConditionWord Best(RuleRead[] rules, Func<RuleRead, bool> kept) =>
        rules.Select(r => r.Condition!.Value).Distinct().Where(word => rules.Where(r => r.Condition <= word).All(kept)).DefaultIfEmpty(ConditionWord.Poor).Max();
}
