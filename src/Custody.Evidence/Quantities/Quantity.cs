using System.Diagnostics.CodeAnalysis;

namespace Custody.Evidence;

/// <summary>A measured number with its unit: the decimal as read off and a UCUM code (case sensitive). The trade's are [in_i] and [oz_av].</summary>
public sealed record Quantity
{
    Quantity(DecimalText value, Unit unit)
    {
        Value = value;
        Unit = unit;
    }

    /// <summary>The number as read off.</summary>
    public DecimalText Value { get; }

    /// <summary>The unit.</summary>
    public Unit Unit { get; }

    /// <summary>Reads a quantity; refuses <c>decimal-form</c>, <c>decimal-too-long</c> and <c>unit-unknown</c>.</summary>
    public static bool TryParse(string? value, string? unit, [NotNullWhen(true)] out Quantity? quantity, [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        quantity = null;
        if (!DecimalText.TryParse(value, out var number, out refusal))
            return false;
        if (Unit.Find(unit) is not { } known)
        {
            refusal = new("unit-unknown", $"\"{unit}\" is not a unit this program records.", $"Use one of {Unit.Codes}.");
            return false;
        }
        quantity = new Quantity(number, known);
        return true;
    }

    /// <summary>Reads a quantity; throws <see cref="FormatException"/> where <see cref="TryParse"/> would refuse.</summary>
    public static Quantity Parse(string value, string unit) =>
        TryParse(value, unit, out var quantity, out var refusal) ? quantity : throw new FormatException($"{refusal.Code}: {refusal.Sentence}");

    /// <summary>A quantity of a known unit.</summary>
    public static Quantity Of(DecimalText value, Unit unit) => new(value, unit);

    /// <summary>The exact number of base units of its dimension (millimetres, grams, degrees, ones), without trailing zeros.</summary>
    public DecimalText InBase() => (Value * Unit.InBase).Reduced();

    /// <summary>This quantity in another unit of the same dimension, to a stated number of places.</summary>
    /// <exception cref="ArgumentException">The units measure different things.</exception>
    public Quantity To(Unit other, int places, Rounding rounding)
    {
        RequireSame(other);
        return new Quantity((Value * Unit.InBase).DividedBy(other.InBase, places, rounding), other);
    }

    /// <summary>Compares two quantities of one dimension exactly.</summary>
    /// <exception cref="ArgumentException">The units measure different things.</exception>
    public int CompareWith(Quantity other)
    {
        RequireSame(other.Unit);
        return (Value * Unit.InBase).CompareTo(other.Value * other.Unit.InBase);
    }

    /// <inheritdoc/>
    public override string ToString() => $"{Value} {Unit.Code}";

    void RequireSame(Unit other)
    {
        if (other.Dimension != Unit.Dimension)
            throw new ArgumentException($"{Unit.Code} and {other.Code} measure different things.", nameof(other));
    }
}
