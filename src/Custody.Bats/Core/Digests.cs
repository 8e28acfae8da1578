using System.Security.Cryptography;
using System.Text;

namespace Custody.Bats;

/// <summary>SHA-256 as text, where a rule must compare one: 43 base64url characters, no padding, no spare bits (RFC 4648 section 5).</summary>
static class Digests
{
    const string Letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";

    /// <summary>256 bits leave two spare bits in the last character; they must be zero, so that one hash has one text.</summary>
    public static bool IsSha256(string text) =>
        text.Length == 43 && text.All(Letters.Contains) && Letters.IndexOf(text[42]) % 4 == 0;

    /// <summary>The same hash in standard base64 with padding, as notes write it.</summary>
    public static bool IsSha256Base64(string text) =>
        text.Length == 44 && text[43] == '=' && !text.Contains('-') && !text.Contains('_')
        && IsSha256(Url(text));

    /// <summary>Standard base64 as base64url without padding.</summary>
    public static string Url(string standard) => standard.TrimEnd('=').Replace('+', '-').Replace('/', '_');

    public static string Sha256Of(string text) =>
        Url(Convert.ToBase64String(SHA256.HashData(Encoding.UTF8.GetBytes(text))));
}
