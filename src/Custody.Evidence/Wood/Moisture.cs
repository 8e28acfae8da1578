using System.Diagnostics.CodeAnalysis;

namespace Custody.Evidence;

/// <summary>
/// The moisture wood settles at in air of a given temperature and humidity, in percent of its oven-dry weight: Hailwood and Horrobin's
/// two-hydrate model with the coefficients of the Wood Handbook (USDA Forest Products Laboratory, chapter 4). The laboratory itself (General
/// Technical Report 229, 2014) calls these data good for practical use and unfit for scientific inference; a finish slows the change.
/// </summary>
public static class Moisture
{
    /// <summary>Name and version of the method, to stand beside each result.</summary>
    public const string Method = "wood-moisture/1";

    /// <summary>Above this the formula leaves the Handbook's table by more than 0.1 percent moisture.</summary>
    public const double WarmestCelsius = 55;

    /// <summary>Equilibrium moisture, percent to one place, at degrees Celsius. See <see cref="TryAtFahrenheit"/> for the refusals.</summary>
    public static bool TryAtCelsius(double celsius, double humidityPercent, [NotNullWhen(true)] out DecimalText? moisture,
        [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        refusal = Refusal(celsius, humidityPercent);
        moisture = refusal is null ? DecimalText.Computed(Celsius(celsius, humidityPercent / 100), 1) : null;
        return moisture is not null;
    }

    /// <summary>
    /// Equilibrium moisture, percent to one place, at degrees Fahrenheit. Refuses <c>moisture-temperature</c> (below freezing or above 55 C)
    /// and <c>moisture-humidity</c> (below 0 or above 95 percent, where the table ends).
    /// </summary>
    public static bool TryAtFahrenheit(double fahrenheit, double humidityPercent, [NotNullWhen(true)] out DecimalText? moisture,
        [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        refusal = Refusal((fahrenheit - 32) / 1.8, humidityPercent);
        moisture = refusal is null ? DecimalText.Computed(Fahrenheit(fahrenheit, humidityPercent / 100), 1) : null;
        return moisture is not null;
    }

    internal static double Fahrenheit(double t, double h) => HailwoodHorrobin(h,
        330 + 0.452 * t + 0.00415 * t * t,
        0.791 + 4.63e-4 * t - 8.44e-7 * t * t,
        6.34 + 7.75e-4 * t - 9.35e-5 * t * t,
        1.09 + 2.84e-2 * t - 9.04e-5 * t * t);

    internal static double Celsius(double t, double h) => HailwoodHorrobin(h,
        349 + 1.29 * t + 0.0135 * t * t,
        0.805 + 7.36e-4 * t - 2.73e-6 * t * t,
        6.27 - 9.38e-3 * t - 3.03e-4 * t * t,
        1.91 + 0.0407 * t - 2.93e-4 * t * t);

    // Wood Handbook, equation 4-5: W molar mass of the dry wood unit, K and K1, K2 equilibrium constants, h humidity as a fraction.
    static double HailwoodHorrobin(double h, double w, double k, double k1, double k2)
    {
        var kh = k * h;
        var hydrated = k1 * kh + 2 * k1 * k2 * kh * kh;
        return 1800 / w * (kh / (1 - kh) + hydrated / (1 + k1 * kh + k1 * k2 * kh * kh));
    }

    // Written so that not-a-number is refused too.
    static EvidenceRefusal? Refusal(double celsius, double humidity) =>
        !(celsius >= -1e-9 && celsius <= WarmestCelsius + 1e-9)
            ? new("moisture-temperature", "The formula holds from freezing to 55 degrees Celsius.", "Give the temperature of a room.")
            : !(humidity is >= 0 and <= 95) ? new("moisture-humidity", "Relative humidity is outside 0 to 95 percent.", "Give it in percent.") : null;
}
