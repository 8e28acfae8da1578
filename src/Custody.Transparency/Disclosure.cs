using System.Security.Cryptography;
using System.Text;

namespace Custody.Transparency;

/// <summary>A withheld field, shown: what a disclosure says.</summary>
/// <param name="Salt">22 characters base64url, 128 random bits.</param>
/// <param name="Name">Member name of the field.</param>
/// <param name="Value">Its value; holds no <c>_sd</c> anywhere.</param>
public sealed record DisclosedValue(string Salt, string Name, Json Value);

/// <summary>
/// Disclosures of object properties as RFC 9901 (SD-JWT) section 4.2 defines them, narrowed to one spelling: the JSON array is written by
/// RFC 8785, so that whoever knows salt, name and value can write the same disclosure again.
/// </summary>
public static class Disclosure
{
    /// <summary>Longest disclosure text read, in characters.</summary>
    public const int MaxLength = 65_536;

    /// <summary>Writes the disclosure of a field and its digest for the <c>_sd</c> array.</summary>
    /// <param name="salt22">128 bits from a cryptographic generator as 22 characters base64url; never used twice.</param>
    /// <param name="name">Member name; not <c>_sd</c> and not <c>...</c> (RFC 9901 section 4.2.1).</param>
    /// <param name="value">The value; holds no <c>_sd</c>.</param>
    /// <exception cref="Malformed">Codes beginning <c>disclosure.</c>; and what <see cref="Jcs.Write(Json)"/> refuses.</exception>
    public static (string Text, string Digest) Make(string salt22, string name, Json value)
    {
        Check(salt22, name, value);
        var text = Base64Url.Encode(Jcs.Write(new Json.Arr(salt22, name, value)));
        return (text, Digest(text));
    }

    /// <summary>Reads a disclosure.</summary>
    /// <exception cref="Malformed">Codes beginning <c>disclosure.</c>, <c>base64url</c>, <c>json.</c> (not canonical among them).</exception>
    public static DisclosedValue Parse(ReadOnlySpan<char> text)
    {
        if (text.Length > MaxLength) throw new Malformed("disclosure.too-large", $"A disclosure has at most {MaxLength} characters.", MaxLength);
        if (Jcs.ParseCanonical(Base64Url.Decode(text)) is not Json.Arr { Items: [Json.Str salt, Json.Str name, var value] })
            throw new Malformed("disclosure.shape", "A disclosure is an array of salt, name and value.");
        Check(salt.Value, name.Value, value);
        return new DisclosedValue(salt.Value, name.Value, value);
    }

    /// <summary>The digest of a disclosure text: base64url of SHA-256 over its ASCII characters (RFC 9901 section 4.2.3).</summary>
    public static string Digest(string text) => Base64Url.Encode(SHA256.HashData(Encoding.ASCII.GetBytes(text)));

    /// <summary>A digest that belongs to nothing (RFC 9901 section 4.2.5) and cannot be told from a real one.</summary>
    /// <param name="random32">32 bytes from a cryptographic generator, kept nowhere.</param>
    public static string Decoy(ReadOnlySpan<byte> random32)
    {
        if (random32.Length != 32) throw new ArgumentException("A decoy is made of exactly 32 random bytes.", nameof(random32));
        return Base64Url.Encode(SHA256.HashData(random32));
    }

    static void Check(string salt, string name, Json value)
    {
        if (salt.Length != 22 || !Base64Url.TryDecode(salt, out _))
            throw new Malformed("disclosure.salt", "A salt is 128 bits as 22 characters base64url.");
        if (name is "_sd" or "...") throw new Malformed("disclosure.name", $"The name \"{name}\" cannot be disclosed.");
        if (HoldsDigests(value)) throw new Malformed("disclosure.nested", "A disclosed value holds no digests of its own.");
    }

    static bool HoldsDigests(Json value) => value switch
    {
        Json.Obj obj => obj.Has("_sd") || obj.Members.Any(m => HoldsDigests(m.Value)),
        Json.Arr array => array.Items.Any(HoldsDigests),
        _ => false,
    };
}
