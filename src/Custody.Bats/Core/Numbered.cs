using System.Globalization;

namespace Custody.Bats;

/// <summary>Keys local to an entry that are a letter and a number: f1, f2, ...</summary>
public static class Numbered
{
    /// <summary>Parts under the letter and their place in the list, from 1.</summary>
    public static Keyed<T> By<T>(char letter, IEnumerable<T> parts) where T : class, IPart =>
        new(parts.Select((part, i) => KeyValuePair.Create(Key(letter, i + 1), part)));

    public static string Key(char letter, int number) => letter + number.ToString(CultureInfo.InvariantCulture);

    /// <summary>The number of a key of this letter, from 1 without leading zero; null when it is not one.</summary>
    public static int? NumberOf(char letter, string key) =>
        key.Length is > 1 and <= 6 && key[0] == letter && key[1] != '0'
        && int.TryParse(key.AsSpan(1), NumberStyles.None, CultureInfo.InvariantCulture, out var number) ? number : null;
}
