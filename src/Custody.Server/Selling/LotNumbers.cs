using System.Globalization;

namespace Custody.Server.Selling;

/// <summary>Lot numbers as they follow one another in a sale: 2 before 12, 12 before 12A.</summary>
public sealed class LotNumbers : IComparer<string>
{
    public static LotNumbers InOrder { get; } = new();

    public int Compare(string? x, string? y)
    {
        var digits = Digits(x ?? "").CompareTo(Digits(y ?? ""));
        return digits != 0 ? digits : string.CompareOrdinal(x, y);
    }

    /// <summary>The number after the last one in use.</summary>
    public static string After(IEnumerable<string> used) => (used.Select(Number).DefaultIfEmpty(0).Max() + 1).ToString(CultureInfo.InvariantCulture);

    // The letter follows the digits: fewer digits come first, and of as many the smaller.
    static int Digits(string number) => number.TrimEnd("ABCDEFGHIJKLMNOPQRSTUVWXYZ".ToCharArray()).Length;

    static long Number(string lot) => long.TryParse(lot.AsSpan(0, Digits(lot)), NumberStyles.None, CultureInfo.InvariantCulture, out var n) ? n : 0;
}
