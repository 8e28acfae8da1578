using Custody.Evidence;

namespace Custody.Bats;

/// <summary>What makes a measured value impossible whatever the bat: the wrong kind of unit, zero or less.</summary>
static class Measured
{
    /// <summary>Refuses a length that is no length and a weight that is no weight; null stands for "not measured".</summary>
    public static IEnumerable<Refusal> Refuse(Quantity? length, Quantity? weight) =>
        Is(length, Dimension.Length, "length").Concat(Is(weight, Dimension.Mass, "weight"));

    /// <summary>Refuses a value that is not above zero, or not in a unit of its dimension.</summary>
    public static IEnumerable<Refusal> Is(Quantity? value, Dimension dimension, string what)
    {
        if (value is null) yield break;
        if (value.Unit.Dimension != dimension)
            yield return new("wrong-unit", $"A {what} is not measured in {value.Unit.Code}.", $"Give it in a unit of {what}.");
        else if (value.Value.Sign <= 0)
            yield return new("not-above-zero", $"A {what} is more than zero.", "Measure it again.");
    }
}
