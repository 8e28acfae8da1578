using Custody.Evidence;

namespace Custody.Bats;

/// <summary>From which likelihood ratio on a word of support is used; unit 1. Below the first band nothing is supported.</summary>
public sealed record SupportBand(SupportWord Word, Quantity From) : IPart;

/// <summary>A word of use is earned by at least this many marks of a kind.</summary>
public sealed record UseRule(UseWord Word, FindingKind Reads, int AtLeast) : IPart;

/// <summary>A word of condition allows at most this many marks of a kind.</summary>
public sealed record ConditionRule(ConditionWord Word, FindingKind Reads, int AtMost) : IPart;

/// <summary>Whether one part of the grade can be given from pictures.</summary>
public enum FromPictures
{
    NotAssessable,
    MayBeGraded,
}

/// <summary>What an opinion from pictures only can carry (rule 4).</summary>
public sealed record PicturesOnlyLimit(SupportWord HighestSupport, FromPictures Use, FromPictures Condition) : IPart
{
    internal bool Allows(Grade grade) => Enum.GetValues<GradeAxis>().All(axis => Allows(axis, grade));

    internal bool Allows(GradeAxis axis, Grade grade) => axis switch
    {
        GradeAxis.Support => grade.Support <= HighestSupport,
        GradeAxis.Use => Use == FromPictures.MayBeGraded || grade.Use == UseWord.NotAssessable,
        _ => Condition == FromPictures.MayBeGraded || grade.Condition == ConditionWord.NotAssessable,
    };

    /// <summary>The grade with this part brought down to what pictures carry.</summary>
    internal Grade Bring(Grade grade, GradeAxis axis) => axis switch
    {
        GradeAxis.Support => grade with { Support = HighestSupport, For = HighestSupport == SupportWord.Neither ? SupportFor.Neither : grade.For },
        GradeAxis.Use => grade with { Use = UseWord.NotAssessable },
        _ => grade with { Condition = ConditionWord.NotAssessable },
    };
}

/// <summary>Publish a rubric, or its next version.</summary>
/// <param name="Version">1 for the first, then one more each time.</param>
/// <param name="ReadTwice">Kinds of mark that both use and condition read: a rubric that does so must say so.</param>
/// <param name="Text">The rubric as published, in words.</param>
/// <param name="TextHash">SHA-256 of the published text.</param>
public sealed record PublishRubric(
    long Version, PartyId Publisher, IReadOnlyList<SupportBand> Bands, IReadOnlyList<UseRule> UseRules,
    IReadOnlyList<ConditionRule> ConditionRules, IReadOnlyList<FindingKind>? ReadTwice, PicturesOnlyLimit FromPicturesOnly, string Title,
    string Text, string? TextHash) : RubricCommand
{
    public override bool Begins => Version == 1;

    public override IReadOnlyList<Fact<RubricFile>> Produce(RubricFile rubric, Introductions people) =>
    [
        new RubricPublished(
            Version, people.Of(Publisher, Role.House), Bands, UseRules, ConditionRules, ReadTwice ?? [], FromPicturesOnly, Title, Text, TextHash),
    ];
}

/// <summary>A version of a rubric: same findings and same rubric, same grade.</summary>
public sealed record RubricPublished(
    long Version, Alias Publisher, IReadOnlyList<SupportBand> Bands, IReadOnlyList<UseRule> UseRules,
    IReadOnlyList<ConditionRule> ConditionRules, IReadOnlyList<FindingKind> ReadTwice, PicturesOnlyLimit FromPicturesOnly,
    Withheld<string>? Title, Withheld<string>? Text, Withheld<string>? TextHash) : RubricFact
{
    public override IEnumerable<Refusal> Permit(RubricFile rubric, Entry entry, ICited cited)
    {
        if (Version != rubric.Versions.Count + 1)
            yield return new("version-out-of-order", "The version does not follow the last one.", "Number versions on from the last.");
        if (Bands.Count == 0 || Bands.Any(b => b.Word == SupportWord.Neither || b.From.Unit.Code != "1" || b.From.Value.Sign <= 0)
            || !Bands.Zip(Bands.Skip(1)).All(p => p.First.Word < p.Second.Word && p.First.From.CompareWith(p.Second.From) < 0))
            yield return new("bands-out-of-order", "The bands of the verbal scale do not rise.",
                "Give words and likelihood ratios in rising order, unit 1.");
        if (UseRules.Any(r => r.AtLeast < 1) || ConditionRules.Any(r => r.AtMost < 0))
            yield return new("threshold-out-of-range", "A threshold is below what can be counted.",
                "Count at least 1 for use, at most 0 or more for condition.");
        var twice = UseRules.Select(r => r.Reads).Intersect(ConditionRules.Select(r => r.Reads)).ToHashSet();
        if (!twice.SetEquals(ReadTwice))
            yield return new("mark-read-twice", "The rubric reads a mark both as use and as condition without saying so, or says so of another.",
                "List exactly the marks that both read.");
    }

    public override RubricFile Apply(RubricFile rubric, Entry entry) =>
        rubric with { Versions = rubric.Versions.Add(Version, new RubricVersion(entry.N, Retired: null)) };
}
