using System.Text.RegularExpressions;

namespace Custody.Server.Labels;

/// <summary>What one label says. Everything on it is readable by a person; the code holds the address and nothing else.</summary>
public sealed record LabelFace
{
    /// <summary>`https://HOST/L/` and 26 Crockford characters: 128 bits and two zero bits, so the last is one of eight. Upper case
    /// throughout but for the scheme, which lets most of the code use the small alphanumeric mode (ISO/IEC 18004 7.4.4).</summary>
    static readonly Regex Address = new("^https://[A-Z0-9](?:[A-Z0-9.-]*[A-Z0-9])?(?::[0-9]{1,5})?/L/[0-9A-HJKMNP-TV-Z]{25}[048CGMRW]$", RegexOptions.CultureInvariant);

    /// <summary>The one caution every label carries.</summary>
    public const string Caution = "A label can be moved or copied: compare the bat with its record.";

    /// <param name="url">The label's address, host in upper case.</param>
    /// <param name="shortNumber">The bat's number as read aloud, check character included.</param>
    /// <param name="house">The issuing house's name.</param>
    /// <param name="serial">The label's own serial.</param>
    /// <exception cref="ArgumentException">The address has another form, or a text has a character the lettering cannot write.</exception>
    public LabelFace(string url, string shortNumber, string house, string serial)
    {
        if (!Address.IsMatch(url))
            throw new ArgumentException($"\"{url}\" is not a label address: https://HOST/L/ and 26 characters, host and characters in upper case.", nameof(url));
        (Url, ShortNumber, House, Serial) = (url, Writable(shortNumber, "number"), Writable(house, "house name"), Writable(serial, "serial"));
    }

    public string Url { get; }
    public string ShortNumber { get; }
    public string House { get; }
    public string Serial { get; }

    /// <summary>The host a person can type.</summary>
    public string Host => Url["https://".Length..Url.IndexOf('/', "https://".Length)];

    /// <summary>The 26 characters in groups, for typing when the code cannot be read; readers ignore the hyphens.</summary>
    public string Token => string.Join('-', Url[^26..^21], Url[^21..^16], Url[^16..^11], Url[^11..^6], Url[^6..]);

    static string Writable(string text, string what)
    {
        if (string.IsNullOrWhiteSpace(text)) throw new ArgumentException($"The label needs a {what}.", what);
        return Lettering.FirstUnknown(text) is not { } unknown ? text : throw new ArgumentException(
          $"The label's lettering has no \"{unknown}\", which the {what} \"{text}\" needs. Give labels a {what} in Latin letters.", what);
    }
}
