using System.Globalization;

namespace Custody.Transparency;

/// <summary>JSON Pointer (RFC 6901) in its string form: names one value inside another.</summary>
public static class JsonPointer
{
    /// <summary>The value a pointer names, or null when there is none.</summary>
    /// <param name="document">The whole value.</param>
    /// <param name="pointer">Empty for the whole, otherwise parts each after a slash.</param>
    /// <exception cref="Malformed"><c>json-pointer</c>: not empty and without slash in front, or a tilde that is no escape.</exception>
    public static Json? Find(Json document, string pointer)
    {
        if (pointer.Length == 0) return document;
        if (pointer[0] != '/') throw new Malformed("json-pointer", "A JSON Pointer is empty or begins with a slash.");
        var parts = Array.ConvertAll(pointer[1..].Split('/'), Unescape);
        return parts.Aggregate((Json?)document, Step);
    }

    // Section 4: ~1 first, then ~0, so that ~01 is the text "~1".
    static string Unescape(string part)
    {
        for (var at = part.IndexOf('~', StringComparison.Ordinal); at >= 0; at = part.IndexOf('~', at + 1))
            if (at + 1 == part.Length || part[at + 1] is not ('0' or '1'))
                throw new Malformed("json-pointer", "A tilde in a JSON Pointer is followed by 0 or 1.");
        return part.Replace("~1", "/", StringComparison.Ordinal).Replace("~0", "~", StringComparison.Ordinal);
    }

    static Json? Step(Json? value, string part) => value switch
    {
        Json.Obj obj => obj[part],
        Json.Arr array => Index(part) is { } index && index < array.Items.Count ? array.Items[index] : null,
        _ => null,
    };

    // Section 4: digits without leading zero; "-" names what does not exist yet, so nothing here.
    static int? Index(string part) =>
        (part == "0" || !part.StartsWith('0')) && int.TryParse(part, NumberStyles.None, CultureInfo.InvariantCulture, out var index) ? index : null;

    /// <summary>The pointer to a member named so inside what another pointer names.</summary>
    public static string Append(string pointer, string name) =>
        $"{pointer}/{name.Replace("~", "~0", StringComparison.Ordinal).Replace("/", "~1", StringComparison.Ordinal)}";
}
