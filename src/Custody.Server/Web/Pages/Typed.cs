using System.Globalization;

namespace Custody.Server.Web.Pages;

/// <summary>Reads what forms send: names of choices and numbers, exactly as the form offers them. The number behind an enumeration's word is no name of it.</summary>
static class Typed
{
    /// <summary>Text without the space around it, in Unicode's composed form; null when nothing was typed.</summary>
    public static string? Text(string? said) => string.IsNullOrWhiteSpace(said) ? null : said.Trim().Normalize();

    /// <summary>The word of this name; null for anything else.</summary>
    public static T? Word<T>(string? said) where T : struct, Enum => said is not null && Enum.GetNames<T>().Contains(said, StringComparer.Ordinal) ? Enum.Parse<T>(said) : null;

    /// <summary>The words that were ticked, each once, in the enumeration's order; what is none is passed over.</summary>
    public static IReadOnlyList<T> Words<T>(IEnumerable<string> said) where T : struct, Enum => [.. said.Select(Word<T>).OfType<T>().Distinct().Order()];

    /// <summary>A whole number from 0 up, in digits only; null for anything else.</summary>
    public static long? Whole(string? said) => long.TryParse(said, NumberStyles.None, CultureInfo.InvariantCulture, out var n) ? n : null;
}
