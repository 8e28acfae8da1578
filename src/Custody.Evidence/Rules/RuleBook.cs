namespace Custody.Evidence;

/// <summary>What the playing rules limit on a bat.</summary>
public enum BatMeasure
{
    /// <summary>At the thickest part.</summary>
    Diameter,

    /// <summary>From knob to barrel end.</summary>
    Length,

    /// <summary>From the knob's end to where tape, tar or other treatment stops.</summary>
    TreatedHandle,

    /// <summary>Of the hollow in the barrel end.</summary>
    CupDepth,

    /// <summary>Of the hollow in the barrel end.</summary>
    CupDiameter,
}

/// <summary>How well a figure is known here.</summary>
public enum Standing
{
    /// <summary>Seen in the named source.</summary>
    Read,

    /// <summary>From memory: say so wherever the figure is shown, and check before resting anything on it.</summary>
    FromMemory,
}

/// <summary>One limit of the Official Baseball Rules and the seasons it began in; the next row of the same measure ends it.</summary>
/// <param name="Measure">What is limited.</param>
/// <param name="Least">Smallest allowed, null when there is none.</param>
/// <param name="Most">Largest allowed, null when there is none.</param>
/// <param name="FirstSeason">First season it can have held, null when it always did. Sources disagree when it differs from the next.</param>
/// <param name="SurelyFrom">Season by which it surely held; null when no source says.</param>
/// <param name="Source">Where the figure stands.</param>
/// <param name="Standing">How well it is known here.</param>
public sealed record RuleRow(BatMeasure Measure, Quantity? Least, Quantity? Most, int? FirstSeason, int? SurelyFrom, string Source, Standing Standing);

/// <summary>A measurement of a bat with what the measuring can be off by, either way; null when not stated, taken as none.</summary>
public sealed record BatMeasurement(BatMeasure Measure, Quantity Value, Quantity? Tolerance = null);

/// <summary>
/// A measurement outside a limit that held, or can have held, in the seasons the bat is said to have been played. A flag asks a question and
/// is never a verdict: bats break rules, rules were enforced loosely, dates and measurements err.
/// </summary>
/// <param name="Measurement">The measurement.</param>
/// <param name="Row">The limit it lies outside of.</param>
/// <param name="Certainty">Certain when every limit that can have held then is broken, whatever the reading of dates and tolerance.</param>
public sealed record RuleFlag(BatMeasurement Measurement, RuleRow Row, Certainty Certainty);

/// <summary>The date-aware limits of the bat. Rows can be replaced: the standard ones are <see cref="Standard"/>.</summary>
public sealed class RuleBook(IReadOnlyList<RuleRow> rows)
{
    const string Then = "Official Baseball Rules, rule 1.10 as worded in 2012 (3.02 since the 2015 renumbering)";
    const string History = "published histories of the playing rules";

    /// <summary>The limits as published, with the seasons they began in.</summary>
    public static RuleBook Standard { get; } = new(
    [
        Inches(BatMeasure.Diameter, null, "2.5", 1857, 1859, History + "; sources give 1857 or 1859", Standing.Read),
        Inches(BatMeasure.Diameter, null, "2.75", 1895, 1895, History, Standing.Read),
        Inches(BatMeasure.Diameter, null, "2.61", 2010, 2010, Then, Standing.Read),
        Inches(BatMeasure.Length, null, "42", 1859, 1869, History + "; sources give 1859 or 1869", Standing.Read),
        Inches(BatMeasure.TreatedHandle, null, "18", 1885, 1885, Then + "; 18 in of twine in 1885 by " + History, Standing.Read),
        Inches(BatMeasure.CupDepth, null, "0", null, null, "no cup before 1975 or 1976", Standing.FromMemory),
        Inches(BatMeasure.CupDepth, null, "1", 1975, 1976, Then + "; first season from memory", Standing.Read),
        Inches(BatMeasure.CupDepth, null, "1.25", 2013, null, "later printings of the rules; since when is not known here", Standing.FromMemory),
        Inches(BatMeasure.CupDiameter, "1", "2", 1975, 1976, Then + "; first season from memory", Standing.Read),
    ]);

    /// <summary>Every row; those of one measure ascending by season.</summary>
    public IReadOnlyList<RuleRow> Rows { get; } = rows;

    /// <summary>Flags measurements against the limits of the seasons a bat is said to have been played in.</summary>
    /// <param name="played">When it was in play; every year between its bounds counts.</param>
    /// <param name="measurements">What was measured, in any unit of length.</param>
    public IReadOnlyList<RuleFlag> Check(Edtf played, IReadOnlyList<BatMeasurement> measurements) =>
        [.. measurements.SelectMany(m => Flags(played, m))];

    IEnumerable<RuleFlag> Flags(Edtf played, BatMeasurement measurement)
    {
        var rows = Rows.Where(r => r.Measure == measurement.Measure).ToList();
        var years = Years(played, rows);
        var certain = years.All(y => MayHold(rows, y) is { Surely: true, Rows: var all } && all.All(r => Outside(measurement, r, surely: true)));
        var broken = years.SelectMany(y => MayHold(rows, y).Rows).Distinct().Where(r => Outside(measurement, r, surely: false));
        return broken.Select(r => new RuleFlag(measurement, r, certain ? Certainty.Certain : Certainty.Possible));
    }

    /// <summary>Which rows can have held in a year, and whether some row surely did.</summary>
    static (bool Surely, List<RuleRow> Rows) MayHold(List<RuleRow> rows, long year)
    {
        bool Begun(RuleRow r) => r.FirstSeason is null || r.FirstSeason <= year;
        bool SurelyBegun(RuleRow r) => r.FirstSeason is null || r.SurelyFrom <= year;
        var lastSure = rows.FindLastIndex(r => SurelyBegun(r));
        return (lastSure >= 0, [.. rows.Where((r, i) => i >= lastSure && Begun(r))]);
    }

    // Nothing changes before the first season of any row or after the last, so a boundless date needs no more years than those between.
    static List<long> Years(Edtf played, List<RuleRow> rows)
    {
        var seasons = rows.SelectMany(r => new[] { r.FirstSeason, r.SurelyFrom }).OfType<int>().Select(y => (long)y).DefaultIfEmpty(0).ToList();
        long Clamp(long year) => Math.Clamp(year, seasons.Min() - 1, seasons.Max());
        var first = played.StartLo == Alternative.Past ? seasons.Min() - 1 : Clamp(new Day(played.StartLo).Date.Year);
        var last = played.EndHi == Alternative.Future ? seasons.Max() : Clamp(new Day(played.EndHi).Date.Year);
        return [.. Enumerable.Range(0, (int)(last - first) + 1).Select(i => first + i)];
    }

    static bool Outside(BatMeasurement measured, RuleRow row, bool surely)
    {
        var off = measured.Tolerance?.InBase() ?? DecimalText.Zero;
        var slack = surely ? -off : off;
        var value = measured.Value.InBase();
        return (row.Most is { } most && value + slack > most.InBase()) || (row.Least is { } least && value - slack < least.InBase());
    }

    static RuleRow Inches(BatMeasure measure, string? least, string? most, int? first, int? surely, string source, Standing standing) =>
        new(measure, Of(least), Of(most), first, surely, source, standing);

    static Quantity? Of(string? inches) => inches is null ? null : Quantity.Parse(inches, "[in_i]");
}
