using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>An entry as it leaves the writer: the bytes that are stored and hashed for ever, and what was kept back from them.</summary>
/// <param name="Bytes">The entry's canonical bytes (RFC 8785), at most 65,536.</param>
/// <param name="Hash">SHA-256 of the bytes, 43 characters base64url.</param>
/// <param name="Withheld">Every value kept back, in the order of the objects in the entry. Private: belongs in the erasable store.</param>
public sealed record Sealed(byte[] Bytes, string Hash, IReadOnlyList<WithheldValue> Withheld);

/// <summary>One withheld value of an entry, with all that is needed to show it later.</summary>
/// <param name="Pointer">RFC 6901 pointer, within the entry, to the object whose <c>_sd</c> holds the digest, such as <c>/body/parties/p1</c>.</param>
/// <param name="Name">Member name of the field.</param>
/// <param name="Salt">22 characters base64url, 128 random bits.</param>
/// <param name="Value">The value as it is written in a disclosure.</param>
/// <param name="Digest">43 characters base64url, as it stands in <c>_sd</c>.</param>
/// <param name="Disclosure">The disclosure text (RFC 9901): shown to a reader, it shows this value and no other.</param>
/// <param name="Concerns">The party of the stream whom the value names, when it stands in the entry's <c>parties</c>; otherwise null.</param>
public sealed record WithheldValue(
    string Pointer, string Name, string Salt, Json Value, string Digest, string Disclosure, Alias? Concerns)
{
    /// <summary>Never prints the value: records end up in logs and test output.</summary>
    public override string ToString() => $"withheld {Pointer}/{Name}";
}
