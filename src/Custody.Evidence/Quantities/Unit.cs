namespace Custody.Evidence;

/// <summary>What a unit measures.</summary>
public enum Dimension
{
    /// <summary>Base unit mm.</summary>
    Length,

    /// <summary>Base unit g.</summary>
    Mass,

    /// <summary>Base unit deg.</summary>
    Angle,

    /// <summary>Base unit 1: counts and fractions, percent as a hundredth.</summary>
    Number,

    /// <summary>Base unit Cel, alone: temperatures are not converted here.</summary>
    Temperature,
}

/// <summary>
/// A UCUM unit the ledger records, with its exact size in the base unit of its dimension. The inch and the ounce are those of the
/// international yard and pound (1959): 25.4 mm and 28.349523125 g exactly; UCUM [in_i] and [oz_av].
/// </summary>
public sealed record Unit
{
    static readonly Dictionary<string, Unit> All = new Unit[]
    {
        new("mm", Dimension.Length, "1"),
        new("cm", Dimension.Length, "10"),
        new("m", Dimension.Length, "1000"),
        new("[in_i]", Dimension.Length, "25.4"),
        new("g", Dimension.Mass, "1"),
        new("kg", Dimension.Mass, "1000"),
        new("[oz_av]", Dimension.Mass, "28.349523125"),
        new("[lb_av]", Dimension.Mass, "453.59237"),
        new("deg", Dimension.Angle, "1"),
        new("1", Dimension.Number, "1"),
        new("%", Dimension.Number, "0.01"),
        new("Cel", Dimension.Temperature, "1"),
    }.ToDictionary(u => u.Code, StringComparer.Ordinal);

    Unit(string code, Dimension dimension, string inBase)
    {
        Code = code;
        Dimension = dimension;
        InBase = DecimalText.Parse(inBase);
    }

    /// <summary>Inch, [in_i].</summary>
    public static Unit Inch => All["[in_i]"];

    /// <summary>Millimetre, mm.</summary>
    public static Unit Millimetre => All["mm"];

    /// <summary>Avoirdupois ounce, [oz_av].</summary>
    public static Unit Ounce => All["[oz_av]"];

    /// <summary>Gram, g.</summary>
    public static Unit Gram => All["g"];

    /// <summary>The UCUM code.</summary>
    public string Code { get; }

    /// <summary>What it measures.</summary>
    public Dimension Dimension { get; }

    /// <summary>How many base units one of it is, exactly.</summary>
    public DecimalText InBase { get; }

    /// <summary>Every code known, apart by commas.</summary>
    public static string Codes => string.Join(", ", All.Keys);

    /// <summary>The unit of a UCUM code, null when it is none the ledger records.</summary>
    public static Unit? Find(string? code) => code is null ? null : All.GetValueOrDefault(code);
}
