namespace Custody.Evidence.Weight;

/// <summary>For which proposition of a pair.</summary>
public enum Direction
{
    /// <summary>Neither.</summary>
    Neither,

    /// <summary>The proposition.</summary>
    Proposition,

    /// <summary>The alternative.</summary>
    Alternative,
}

/// <summary>One band of a scale.</summary>
/// <param name="Word">Stable word, for example moderatelyStrong.</param>
/// <param name="From">Log10 of the ratio at which it begins, to 0.001.</param>
/// <param name="Sentence">How it is said of the supported proposition.</param>
public sealed record ScaleBand(string Word, DecimalText From, string Sentence);

/// <summary>Words and direction that a weight is given.</summary>
/// <param name="Word">Of the scale; <c>neither</c> when it supports none.</param>
public sealed record Wording(string ScaleId, int ScaleVersion, Direction For, string Word, string Sentence);

/// <summary>A published verbal scale. Scales differ, so each result names its own by id and version.</summary>
/// <param name="Source">Where it is published and how well it is known here.</param>
/// <param name="Bands">Ascending; below the first nothing is supported.</param>
public sealed record VerbalScale(string Id, int Version, string Source, IReadOnlyList<ScaleBand> Bands)
{
    /// <summary>The word when nothing is supported.</summary>
    public const string Neither = "neither";

    /// <summary>The example scale of the ENFSI Guideline for Evaluative Reporting in Forensic Science (2015); the bands as read, the sentences ours.</summary>
    public static VerbalScale Enfsi2015 { get; } = new("enfsi-2015-example", 1,
        "ENFSI Guideline for Evaluative Reporting in Forensic Science, approved version 3.0 (2015), the example scale; exact words from memory",
        [
            Band("weak", "0.301", "weak support"), Band("moderate", "1.000", "moderate support"),
            Band("moderatelyStrong", "2.000", "moderately strong support"), Band("strong", "3.000", "strong support"),
            Band("veryStrong", "4.000", "very strong support"), Band("extremelyStrong", "6.000", "extremely strong support"),
        ]);

    /// <summary>A variant in use that ends at 10,000, to show that scales differ.</summary>
    public static VerbalScale EndingAtTenThousand { get; } = new("decades-to-10000", 1,
        "variant of the same six words on a public course page, ending above 10,000",
        [
            Band("weak", "0.301", "weak support"), Band("moderate", "1.000", "moderate support"),
            Band("moderatelyStrong", "2.000", "moderately strong support"), Band("strong", "3.000", "strong support"),
            Band("extremelyStrong", "4.000", "extremely strong support"),
        ]);

    /// <summary>Every scale known here.</summary>
    public static IReadOnlyList<VerbalScale> All { get; } = [Enfsi2015, EndingAtTenThousand];

    /// <summary>A scale by its id and version; null when it is not known here.</summary>
    public static VerbalScale? Find(string id, int version) => All.FirstOrDefault(s => s.Id == id && s.Version == version);

    /// <summary>
    /// The words for an interval of log10 likelihood ratios: its end nearest 0 picks the band; an interval that holds 0, or an end that lies below the
    /// first band, supports neither. Direction is always said.
    /// </summary>
    /// <param name="low">Lower end, log10.</param>
    /// <param name="high">Upper end, log10.</param>
    public Wording Words(DecimalText low, DecimalText high)
    {
        var (end, side) = low.Sign > 0 ? (low, Direction.Proposition) : high.Sign < 0 ? (-high, Direction.Alternative) : (DecimalText.Zero, Direction.Neither);
        return Bands.LastOrDefault(b => end >= b.From) is { } band && side != Direction.Neither
            ? new Wording(Id, Version, side, band.Word, $"The findings give {band.Sentence} for the {Name(side)} rather than the {Name(Other(side))}.")
            : new Wording(Id, Version, Direction.Neither, Neither, "The findings do not support one proposition over the other.");
    }

    static string Name(Direction side) => side == Direction.Proposition ? "proposition" : "alternative";

    static Direction Other(Direction side) => side == Direction.Proposition ? Direction.Alternative : Direction.Proposition;

    static ScaleBand Band(string word, string from, string sentence) => new(word, DecimalText.Parse(from), sentence);
}
