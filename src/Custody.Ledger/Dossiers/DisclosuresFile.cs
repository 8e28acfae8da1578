using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>A withheld value that the dossier shows: one item of <c>disclosures.json</c>.</summary>
/// <param name="Stream">Stream of the entry, such as <c>bat/...</c>.</param>
/// <param name="N">Its number.</param>
/// <param name="Pointer">RFC 6901 pointer to the object whose <c>_sd</c> holds the digest.</param>
/// <param name="Disclosure">The disclosure text.</param>
public sealed record Shown(string Stream, long N, string Pointer, string Disclosure);

/// <summary>The file <c>disclosures.json</c>: a canonical array of {disclosure, n, pointer, stream}.</summary>
public static class DisclosuresFile
{
    // Room for every withheld field of a long history; depth: array, object.
    static readonly JsonLimits Limits = new(256 << 20, 2);

    /// <summary>The file's bytes, in an order that does not depend on the order given: by stream, entry, pointer and text.</summary>
    public static byte[] Write(IEnumerable<Shown> shown) => Jcs.Write(new Json.Arr(
    [
        .. shown.OrderBy(s => s.Stream, StringComparer.Ordinal).ThenBy(s => s.N).ThenBy(s => s.Pointer, StringComparer.Ordinal)
            .ThenBy(s => s.Disclosure, StringComparer.Ordinal)
            .Select(s => new ObjBuilder { { "disclosure", s.Disclosure }, { "n", s.N }, { "pointer", s.Pointer }, { "stream", s.Stream } }.Build()),
    ]));

    /// <summary>Reads the file.</summary>
    /// <exception cref="Malformed">Not canonical, or not such an array.</exception>
    public static IReadOnlyList<Shown> Read(ReadOnlySpan<byte> bytes) =>
        Jcs.ParseCanonical(bytes, Limits) is Json.Arr array
            ? [.. array.Items.Select(Item)]
            : throw new Malformed("disclosures", "The disclosures are an array.");

    static Shown Item(Json json) =>
        json is Json.Obj { Members.Count: 4 } item && item["disclosure"] is Json.Str text && item["n"] is Json.Int { Value: >= 1 } n
            && item["pointer"] is Json.Str pointer && item["stream"] is Json.Str stream
            ? new Shown(stream.Value, n.Value, pointer.Value, text.Value)
            : throw new Malformed("disclosures", "A disclosure in the file has a text, n, pointer and stream.");
}
