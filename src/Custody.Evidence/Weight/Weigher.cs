using System.Diagnostics.CodeAnalysis;
using System.Globalization;

namespace Custody.Evidence.Weight;

/// <summary>Weighs a bat's findings against a player's habits: the whole computation, with everything a page needs and everything to recompute it.</summary>
/// <remarks>Likelihood ratios for pairs of propositions as the ENFSI Guideline for Evaluative Reporting (2015) asks; formulas at <see cref="Ratio"/>.</remarks>
public static class Weigher
{
    /// <summary>Id of the method.</summary>
    public const string Method = "custody-habit-weight";

    /// <summary>Its version. Whatever changes a digit of a result is another version.</summary>
    public const int MethodVersion = 1;

    /// <summary>
    /// Counts the files and weighs. Refuses what <see cref="PreparedFiles.TryPrepare"/> and <see cref="Propositions.Refuse"/> refuse, and
    /// <c>unknown-characteristic</c>, <c>value-unknown</c>, <c>findings-contradict</c>, <c>files-searched</c>.
    /// </summary>
    public static bool TryWeigh(WeighingInput input, WeighingChoices choices, [NotNullWhen(true)] out WeighingResult? result,
        [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        result = null;
        return PreparedFiles.TryPrepare(input.Order, input.Habits, input.Comparison, choices, out var files, out refusal)
            && TryWeigh(files, input, out result, out refusal);
    }

    /// <summary>Weighs one bat against files already counted; of <paramref name="input"/> only the bat is read.</summary>
    public static bool TryWeigh(PreparedFiles files, WeighingInput input, [NotNullWhen(true)] out WeighingResult? result,
        [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        result = null;
        refusal = Refuse(files, input);
        if (refusal is not null) return false;
        var bat = new BatCase(files, input.Findings, input.CustodyDocumentedFrom);
        var combining = new Combining(files.Spreads);
        IReadOnlyList<PairWeight> pairs = [.. input.Pairs.Select(p => Pair(files, bat, combining, p))];
        result = new WeighingResult(
            Method, MethodVersion, files.Scale.Source, input.ProposedBy, input.FilesSearched, From(files, input), Characteristics(files, bat, combining), pairs,
            Cautions.Of(files, bat, input, pairs));
        return true;
    }

    static EvidenceRefusal? Refuse(PreparedFiles files, WeighingInput input) =>
        Propositions.Refuse(input.Pairs) ?? BatCase.Refuse(files, input.Findings)
            ?? ((input.FilesSearched > 1) != (input.ProposedBy == ProposedBy.SearchOfFiles) || input.FilesSearched < 1
                ? new("files-searched", "How the player was proposed does not fit how many files were searched.", "Give 2 or more after a search, otherwise 1.")
                : null);

    /// <summary>The numbers alone, the same as <see cref="TryWeigh(PreparedFiles, WeighingInput, out WeighingResult?, out EvidenceRefusal?)"/> gives, without
    /// what varies them: for computing very many again. Refuses alike.</summary>
    public static bool TryNumbers(PreparedFiles files, WeighingInput input, [NotNullWhen(true)] out IReadOnlyList<PairNumbers>? numbers,
        [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        refusal = Refuse(files, input);
        var (bat, combining) = (new BatCase(files, input.Findings, input.CustodyDocumentedFrom), new Combining(files.Spreads));
        numbers = refusal is not null ? null
            : [.. input.Pairs.Select(p => new PairNumbers(p, combining.Of(bat.Counted(p.Against), Change.None).Kept()))];
        return numbers is not null;
    }

    static PairWeight Pair(PreparedFiles files, BatCase bat, Combining combining, PropositionPair pair)
    {
        var pieces = bat.Counted(pair.Against);
        var present = new Present(files, bat, combining, pair.Against, pieces, combining.Of(pieces, Change.None));
        return new PairWeight(
            pair, Propositions.Text(pair.Level), Propositions.Text(pair.Against), present.Weight.Kept(), present.Words,
            [.. pieces.Select(p => p.Counts.Members)], bat.NotCounted(pair.Against, pieces),
            Rounded.Of(bat.AllCountable(pair.Against).Sum(p => combining.Of([p], Change.None).Log10)).Text,
            Sensitivity.Varied(present), Sensitivity.WithoutSource(present), Sensitivity.WithoutCharacteristic(present),
            NextObservations.Ranked(present), ReaderPriors.Of(present.Weight));
    }

    static List<CharacteristicWeight> Characteristics(PreparedFiles files, BatCase bat, Combining combining)
    {
        List<CharacteristicWeight> all = [];
        foreach (var (family, candidates) in files.Families)
            foreach (var counts in candidates.Where(c => c.Members.All(bat.Findings.ContainsKey)))
                if (counts.Players > 0 && counts.Members.All(id => bat.Findings[id].State is FoundState.Seen or FoundState.Absent))
                    all.Add(Shown(family, counts, bat, combining));
        return all;
    }

    static CharacteristicWeight Shown(string family, Counts counts, BatCase bat, Combining combining)
    {
        var value = bat.ValueOf(counts.Members);
        IReadOnlyList<Piece> piece = [new Piece(counts, value, family)];
        return new CharacteristicWeight(
            counts.Members, family, counts.Members.All(id => bat.Findings[id].State == FoundState.Absent) ? FoundState.Absent : FoundState.Seen,
            [.. counts.Members.Select(id => bat.Findings[id].Value)], Count(counts.His[value]), Count(counts.Occasions), Share(counts.Others[value]),
            Count(counts.Players), counts.Classes, DecimalText.Computed(counts.Frequency(value), 6).Text, counts.Likeness.A.Text, counts.Likeness.From,
            combining.Of(piece, Change.None).Kept(), AtA(0.5), AtA(2), Count(counts.Beside[value]), Count(counts.Beside.Sum()),
            Count(counts.Posed[value]), Count(counts.Posed.Sum()));

        string AtA(double times) => counts.Occasions == 0 ? "0.000"
            : Rounded.Log10(Ratio.Of(counts.His[value], counts.Occasions, counts.Frequency(value), counts.Likeness.A.ToDouble() * times)).Text;
    }

    static WeighedFrom From(PreparedFiles files, WeighingInput input) => new(
        files.Sources,
        files.His.GroupBy(o => o.Kind).OrderBy(g => g.Key).ToDictionary(g => Word(g.Key), g => g.Count()),
        files.Others.Select(o => o.Player).Distinct().Count(), files.ComparisonSources, Word(files.Choices.Basis),
        (files.Choices.PosedFraction ?? DecimalText.Zero).Text, (files.Choices.LikenessDefault ?? WeighingChoices.UsualLikeness).Text,
        input.CustodyDocumentedFrom?.Text, files.Choices.Spent ?? [],
        (files.Choices.LossFactors ?? new Dictionary<long, DecimalText>()).OrderBy(l => l.Key)
            .ToDictionary(l => l.Key.ToString(CultureInfo.InvariantCulture), l => l.Value.Text));

    static string Word(ObservedIn kind)
    {
        var word = kind.ToString();
        return char.ToLowerInvariant(word[0]) + word[1..];
    }

    static string Share(double share) => DecimalText.Computed(share, 4).Reduced().Text;

    static string Count(double count) => Share(count);
}

/// <summary>One pair as it stands, for whatever varies it.</summary>
sealed record Present(
    PreparedFiles Files, BatCase Bat, Combining Combining, WeighedAgainst Against, IReadOnlyList<Piece> Pieces, Sized Weight)
{
    internal VerbalScale Scale => Files.Scale;

    internal Wording Words { get; } = Weight.Words(Files.Scale);

    internal bool IsOther(Wording words) => (words.Word, words.For) != (Words.Word, Words.For);

    internal string Difference(Sized other) => Rounded.Of(other.Log10 - Weight.Log10).Text;
}
