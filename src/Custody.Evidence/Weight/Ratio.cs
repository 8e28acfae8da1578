using System.Diagnostics.CodeAnalysis;

namespace Custody.Evidence.Weight;

/// <summary>The likelihood ratio of one value of one characteristic.</summary>
public static class Ratio
{
    /// <summary>
    /// How common the value is: p = (K + 1/2) / (N + C/2), the mean of a Dirichlet posterior under Jeffreys's prior (Jeffreys 1946), over players
    /// whose own counts were each brought to 1.
    /// </summary>
    /// <param name="shown">K: players' shares that showed the value, 0 to N.</param>
    /// <param name="players">N: players that showed anything of the characteristic, above 0.</param>
    /// <param name="classes">C: how many values there are, absence among them.</param>
    public static double Frequency(double shown, double players, int classes) => (shown + 0.5) / (players + classes / 2.0);

    /// <summary>
    /// LR = ((k + A p) / (n + A)) / p: the chance that he shows the value once more over the chance that anybody does. His own counts are centred on
    /// the population and A says how alike one hitter is to himself (the form of Balding and Nichols 1994, from memory). Exactly 1 without occasions.
    /// </summary>
    /// <param name="shown">k: his occasions with the value.</param>
    /// <param name="occasions">n: his occasions on which it could be judged.</param>
    /// <param name="frequency">p, between 0 and 1.</param>
    /// <param name="likeness">A, above 0; small when one hitter is much like himself.</param>
    public static double Of(double shown, double occasions, double frequency, double likeness) =>
        occasions == 0 ? 1 : (shown + likeness * frequency) / (occasions + likeness) / frequency;

    /// <summary>
    /// The same from counts as people give them, as log10 to 0.001. Refuses <c>counts-negative</c>, <c>count-above-total</c> (k above n, K above
    /// N), <c>comparison-file-empty</c> (N is 0), <c>values-too-few</c> and <c>likeness-not-positive</c>. k = 0 and n = 0 are ordinary.
    /// </summary>
    public static bool TryOf(int shown, int occasions, DecimalText shownByOthers, int players, int classes, DecimalText likeness,
        [NotNullWhen(true)] out DecimalText? log10, [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        log10 = null;
        var others = shownByOthers.ToDouble();
        refusal = shown < 0 || occasions < 0 || others < 0 || players < 0
            ? new("counts-negative", "A count is negative.", "Give counts of 0 or more.")
            : players == 0 ? Refusals.ComparisonEmpty
            : shown > occasions || others > players
                ? new("count-above-total", "A value was seen more often than it was looked for.", "Give k not above n, and K not above N.")
            : classes < 2 ? new("values-too-few", "A characteristic has fewer than two values, absence among them.", "Name its values.")
            : likeness.Sign <= 0 ? new("likeness-not-positive", "A is not above 0.", "Give A above 0.")
            : null;
        if (refusal is not null) return false;
        log10 = Rounded.Log10(Of(shown, occasions, Frequency(others, players, classes), likeness.ToDouble()));
        return true;
    }
}

/// <summary>Results as they are kept.</summary>
static class Rounded
{
    /// <summary>Places after the point of every log10.</summary>
    internal const int Places = 3;

    internal static DecimalText Log10(double ratio) => DecimalText.Computed(Math.Log10(ratio), Places);

    internal static DecimalText Of(double log10) => DecimalText.Computed(log10, Places);
}

/// <summary>Refusals that several doors give.</summary>
static class Refusals
{
    internal static readonly EvidenceRefusal ComparisonEmpty =
        new("comparison-file-empty", "The comparison file counts nothing: there is no number at all, not a 1.", "Record occasions of other players first.");
}
