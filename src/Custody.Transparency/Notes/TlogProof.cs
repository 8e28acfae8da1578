using System.Globalization;
using System.Text;

namespace Custody.Transparency;

/// <summary>
/// That one leaf is in a log, checkable without the log (c2sp.org/tlog-proof): its index, the inclusion proof and the checkpoint verbatim.
/// </summary>
/// <param name="Index">Index of the leaf.</param>
/// <param name="Proof">Hashes from the leaf's sibling up (RFC 6962 section 2.1.1).</param>
/// <param name="Checkpoint">Bytes of the signed checkpoint.</param>
/// <param name="Extra">Opaque bytes that nothing vouches for; this project writes none.</param>
public sealed record TlogProof(long Index, IReadOnlyList<Hash> Proof, ReadOnlyMemory<byte> Checkpoint, ReadOnlyMemory<byte>? Extra = null)
{
    const string First = "c2sp.org/tlog-proof@v1";
    const string ExtraWord = "extra ";
    const string IndexWord = "index ";

    /// <summary>The file.</summary>
    public byte[] ToArray()
    {
        var text = new StringBuilder(First).Append('\n');
        if (Extra is { } extra) text.Append(ExtraWord).Append(Base64Std.Encode(extra.Span)).Append('\n');
        text.Append(CultureInfo.InvariantCulture, $"{IndexWord}{Index}\n");
        foreach (var hash in Proof) text.Append(hash.Standard).Append('\n');
        return [.. Encoding.ASCII.GetBytes(text.Append('\n').ToString()), .. Checkpoint.Span];
    }

    /// <summary>Reads the file. Verifies nothing.</summary>
    /// <exception cref="Malformed"><c>proof</c>; for its checkpoint what <see cref="SignedNote.Parse"/> and
    /// <see cref="Transparency.Checkpoint.Read(SignedNote)"/> refuse.</exception>
    public static TlogProof Parse(ReadOnlySpan<byte> bytes)
    {
        var end = bytes.IndexOf("\n\n"u8);
        if (end < 0 || end > 16_384) throw new Malformed("proof", "A proof has an empty line before its checkpoint, and few lines before that.");
        var lines = Encoding.UTF8.GetString(bytes[..end]).Split('\n');
        if (lines[0] != First) throw new Malformed("proof", $"A proof begins with the line {First}.");
        var at = 1;
        var extra = Word(lines, at, ExtraWord);
        if (extra is not null) at++;
        var index = Word(lines, at++, IndexWord) ?? throw new Malformed("proof", "A proof names the index of its leaf.");
        if (lines.Length - at > Merkle.MaxProof) throw new Malformed("proof", "The inclusion proof is longer than any tree needs.");
        var checkpoint = bytes[(end + 2)..].ToArray();
        Transparency.Checkpoint.Read(SignedNote.Parse(checkpoint));
        return new TlogProof(
            NoteText.Decimal(index, "proof"), [.. lines[at..].Select(l => NoteText.Hash(l, "proof"))], checkpoint,
            extra is null ? default(ReadOnlyMemory<byte>?) : Opaque(extra));
    }

    static string? Word(string[] lines, int at, string word) =>
        at < lines.Length && lines[at].StartsWith(word, StringComparison.Ordinal) ? lines[at][word.Length..] : null;

    static ReadOnlyMemory<byte> Opaque(string text) => Base64Std.TryDecode(text, out var bytes)
        ? bytes
        : throw new Malformed("proof", "The extra line is not base64.");

    /// <summary>
    /// Whether the proof leads from this leaf to the root its checkpoint names. Whether the checkpoint's signatures are good is the caller's to
    /// ask.
    /// </summary>
    public bool Includes(Hash leaf)
    {
        var checkpoint = Transparency.Checkpoint.Read(SignedNote.Parse(Checkpoint.Span));
        return Merkle.VerifyInclusion(leaf, Index, checkpoint.Size, Proof, checkpoint.Root);
    }
}
