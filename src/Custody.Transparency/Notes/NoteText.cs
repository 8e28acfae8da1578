using System.Globalization;

namespace Custody.Transparency;

/// <summary>The lines of note texts that carry data: checkpoints, heads, key rotations.</summary>
static class NoteText
{
    /// <summary>The lines, each of which must not be empty.</summary>
    internal static string[] Lines(string text, string code)
    {
        var lines = text.Split('\n');
        return text.EndsWith('\n') && lines[..^1].All(l => l.Length > 0)
            ? lines[..^1]
            : throw new Malformed(code, "The note text holds an empty line or does not end in a line feed.");
    }

    /// <summary>A decimal without sign and leading zeros, up to 2^63 - 1.</summary>
    internal static long Decimal(string text, string code) =>
        (text == "0" || !text.StartsWith('0')) && long.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var value)
            ? value
            : throw new Malformed(code, "A number in the note is not a plain decimal.");

    /// <summary>A hash in standard base64.</summary>
    internal static Hash Hash(string text, string code)
    {
        try
        {
            return Transparency.Hash.ParseStandard(text);
        }
        catch (Malformed)
        {
            throw new Malformed(code, "A hash in the note is not 32 bytes in base64.");
        }
    }

    /// <summary>The origin in front of a first line such as <c>origin/head</c>.</summary>
    internal static string Origin(string line, string suffix, string code)
    {
        var origin = line.EndsWith(suffix, StringComparison.Ordinal) ? line[..^suffix.Length] : "";
        return Transparency.Origin.IsValid(origin)
            ? origin
            : throw new Malformed(code, $"The first line is not the ledger's origin followed by {suffix}.");
    }
}

/// <summary>The name of a ledger: first line of its checkpoints and name of its key.</summary>
public static class Origin
{
    /// <summary>
    /// Whether this can be a ledger's name: a valid key name that does not end in the path part <c>head</c> or <c>key</c>, so that no
    /// checkpoint's first line is another note's.
    /// </summary>
    public static bool IsValid(string origin) => KeyNames.IsValid(origin)
        && !origin.EndsWith("/head", StringComparison.Ordinal) && !origin.EndsWith("/key", StringComparison.Ordinal);
}
