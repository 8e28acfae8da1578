using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>What collects while one entry is written: withheld values, each under its own salt.</summary>
sealed class Sealing(Action<Span<byte>> fillRandom)
{
    internal const string PartiesPointer = "/body/parties";

    internal List<WithheldValue> Withheld { get; } = [];

    /// <summary>128 fresh random bits as 22 characters.</summary>
    internal string Salt()
    {
        Span<byte> salt = stackalloc byte[16];
        fillRandom(salt);
        return Base64Url.Encode(salt);
    }

    /// <summary>Keeps a value back and gives its digest.</summary>
    internal string Keep(string pointer, string name, Json value)
    {
        var salt = Salt();
        var (text, digest) = Disclosure.Make(salt, name, value);
        Withheld.Add(new WithheldValue(pointer, name, salt, value, digest, text, PartyAt(pointer)));
        return digest;
    }

    /// <summary>A digest that stands for nothing, so that the number of digests never tells what was said (RFC 9901 section 4.2.5).</summary>
    internal string Decoy()
    {
        Span<byte> random = stackalloc byte[32];
        fillRandom(random);
        return Disclosure.Decoy(random);
    }

    static Alias? PartyAt(string pointer) =>
        pointer.StartsWith(PartiesPointer + "/", StringComparison.Ordinal) && Alias.TryParse(pointer[(PartiesPointer.Length + 1)..], out var alias)
            ? alias
            : null;
}

/// <summary>What is known while one entry is read: disclosures not yet placed, digests already met.</summary>
sealed class Opening
{
    readonly Dictionary<string, DisclosedValue> shown = new(StringComparer.Ordinal);
    readonly HashSet<string> met = new(StringComparer.Ordinal);

    internal Opening(IEnumerable<string>? disclosures)
    {
        foreach (var text in disclosures ?? [])
            if (!shown.TryAdd(Disclosure.Digest(text), Disclosure.Parse(text)))
                throw new Malformed("entry.disclosure-twice", "One disclosure is given twice.");
    }

    /// <summary>Digests met in the entry so far: pointer and name of what was shown under each, or null.</summary>
    internal List<DigestPlace> Places { get; } = [];

    /// <summary>The value shown under a digest, if any; each digest stands once in an entry, each disclosure fits once.</summary>
    internal DisclosedValue? Meet(string digest, string pointer)
    {
        if (!met.Add(digest)) throw new Malformed("entry.digest-twice", $"{pointer}: a digest stands twice in the entry.");
        shown.Remove(digest, out var value);
        Places.Add(new DigestPlace(digest, pointer, value?.Name));
        return value;
    }

    internal void RefuseLeftOver()
    {
        if (shown.Count > 0) throw new Malformed("entry.disclosure-unmatched", "A disclosure fits no digest of the entry.");
    }
}

/// <summary>Where a digest stands in an entry.</summary>
/// <param name="Pointer">The object whose <c>_sd</c> holds it.</param>
/// <param name="Shown">Name of the field shown under it, or null when it stays withheld (or is a decoy: the two look alike).</param>
public sealed record DigestPlace(string Digest, string Pointer, string? Shown);
