namespace Custody.Evidence;

/// <summary>
/// Figures of a species from the Wood Handbook (USDA Forest Products Laboratory): specific gravity at 12 percent moisture (oven-dry weight over
/// volume at 12 percent; table 5-3) and the coefficients of dimensional change per percent of moisture, radial and tangential (table 13-5).
/// Single boards spread about a tenth round the mean specific gravity (from memory).
/// </summary>
/// <param name="Name">Common name.</param>
/// <param name="SpecificGravity">At 12 percent moisture.</param>
/// <param name="Radial">Change of diameter along the rays, per percent of moisture from 6 to 14 percent.</param>
/// <param name="Tangential">Change across them.</param>
/// <param name="Standing">From memory when any figure is.</param>
public sealed record Species(string Name, double SpecificGravity, double Radial, double Tangential, Standing Standing)
{
    /// <summary>Relative spread of specific gravity between boards of a species, one standard deviation; from memory.</summary>
    public const double Spread = 0.10;

    /// <summary>The species bats are made of.</summary>
    public static IReadOnlyList<Species> Known { get; } =
    [
        new("white ash", 0.60, 0.00169, 0.00274, Standing.Read),
        new("black ash", 0.49, 0.00172, 0.00274, Standing.Read),
        new("sugar maple", 0.63, 0.00165, 0.00353, Standing.Read),
        new("yellow birch", 0.62, 0.00256, 0.00338, Standing.Read),
        new("mockernut hickory", 0.72, 0.00259, 0.00411, Standing.FromMemory),
        new("pignut hickory", 0.75, 0.00259, 0.00411, Standing.FromMemory),
        new("shagbark hickory", 0.72, 0.00259, 0.00411, Standing.FromMemory),
        new("shellbark hickory", 0.69, 0.00259, 0.00411, Standing.FromMemory),
    ];

    /// <summary>The species of a common name, null when none is known by it.</summary>
    public static Species? Find(string name) => Known.FirstOrDefault(s => string.Equals(s.Name, name, StringComparison.Ordinal));

    /// <summary>Grams per cubic centimetre, water included, at a moisture in percent.</summary>
    internal double Density(double moisture) =>
        SpecificGravity * (1 + moisture / 100) / (1 + (Radial + Tangential) * (moisture - 12));
}
