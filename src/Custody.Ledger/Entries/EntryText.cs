using System.Globalization;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>The spellings that more than one member of an entry has to keep.</summary>
static class EntryText
{
    const string Second = "yyyy-MM-dd'T'HH:mm:ss'Z'";

    /// <summary>Letters and digits, first a lower-case letter: every member name of an entry but <c>_sd</c>.</summary>
    internal static bool IsName(string text) =>
        text.Length is > 0 and <= 64 && char.IsAsciiLetterLower(text[0]) && text.AsSpan().IndexOfAnyExcept(NameCharacters) < 0;

    static readonly System.Buffers.SearchValues<char> NameCharacters =
        System.Buffers.SearchValues.Create("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789");

    internal static bool IsHash(string text) => Hash.TryParse(text, out _);

    internal static bool IsOrigin(string text) => Origin.IsValid(text);

    internal static string Write(DateTimeOffset utcSecond) => utcSecond.UtcDateTime.ToString(Second, CultureInfo.InvariantCulture);

    internal static DateTimeOffset ReadSecond(string text) =>
        DateTime.TryParseExact(text, Second, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal | DateTimeStyles.AdjustToUniversal, out var time)
            ? new DateTimeOffset(time)
            : throw new Malformed("entry.recorded", "The time of recording is not UTC to the second.");
}
