using System.Text;
using System.Text.Unicode;

namespace Custody.Transparency;

/// <summary>A text with signatures under it (c2sp.org/signed-note). Its text means nothing until <see cref="Verify"/> has said yes.</summary>
public sealed class SignedNote
{
    /// <summary>Longest note read, in bytes.</summary>
    public const int MaxBytes = 1 << 20;

    /// <summary>Most signatures read; the specification asks for at least 16.</summary>
    public const int MaxSignatures = 128;

    readonly byte[] text;

    SignedNote(byte[] text, IReadOnlyList<NoteSignature> signatures) => (this.text, Signatures) = (text, signatures);

    /// <summary>The signed text with its last line feed.</summary>
    public string Text => Encoding.UTF8.GetString(text);

    /// <summary>The signed text's bytes.</summary>
    public ReadOnlySpan<byte> TextBytes => text;

    /// <summary>Signature lines in their order.</summary>
    public IReadOnlyList<NoteSignature> Signatures { get; }

    /// <summary>Signs a text.</summary>
    /// <param name="text">Ends in a line feed; no other control characters.</param>
    /// <param name="signers">At least one.</param>
    /// <exception cref="Malformed"><c>note.text</c>.</exception>
    public static SignedNote Sign(string text, params SignerKey[] signers)
    {
        ArgumentOutOfRangeException.ThrowIfZero(signers.Length);
        if (!text.EndsWith('\n') || text.Any(c => c < ' ' && c != '\n'))
            throw new Malformed("note.text", "A note text ends in a line feed and holds no other control character.");
        byte[] bytes;
        try
        {
            bytes = new UTF8Encoding(false, throwOnInvalidBytes: true).GetBytes(text);
        }
        catch (EncoderFallbackException)
        {
            throw new Malformed("note.text", "The note text holds half of a surrogate pair.");
        }
        return new SignedNote(bytes, [.. signers.Select(s => s.Sign(bytes))]);
    }

    /// <summary>The note with one more signature at the end.</summary>
    public SignedNote With(NoteSignature signature) => new(text, [.. Signatures, signature]);

    /// <summary>The note as it is stored and sent.</summary>
    public byte[] ToArray()
    {
        var all = new StringBuilder(Text).Append('\n');
        foreach (var signature in Signatures) all.Append(signature.Line).Append('\n');
        return Encoding.UTF8.GetBytes(all.ToString());
    }

    /// <summary>Reads a note. Says nothing about its signatures.</summary>
    /// <exception cref="Malformed"><c>note.too-large</c>, <c>note.utf8</c>, <c>note.control</c>, <c>note.shape</c>, <c>note.signature</c>,
    /// <c>note.signatures</c> (too many).</exception>
    public static SignedNote Parse(ReadOnlySpan<byte> bytes)
    {
        if (bytes.Length > MaxBytes) throw new Malformed("note.too-large", $"A note has at most {MaxBytes} bytes.", MaxBytes);
        if (!Utf8.IsValid(bytes)) throw new Malformed("note.utf8", "The note is not valid UTF-8.");
        for (var i = 0; i < bytes.Length; i++)
            if (bytes[i] < ' ' && bytes[i] != '\n') throw new Malformed("note.control", "A note holds no control character but line feeds.", i);
        // The text may hold empty lines: the last one parts it from the signatures.
        var split = bytes.LastIndexOf("\n\n"u8);
        if (split < 0 || bytes[^1] != '\n' || split + 2 == bytes.Length)
            throw new Malformed("note.shape", "A note is a text, an empty line and at least one signature line, each ending in a line feed.");
        return new SignedNote(bytes[..(split + 1)].ToArray(), Lines(bytes[(split + 2)..^1]));
    }

    static NoteSignature[] Lines(ReadOnlySpan<byte> bytes)
    {
        if (bytes.Count((byte)'\n') >= MaxSignatures) throw new Malformed("note.signatures", $"A note has at most {MaxSignatures} signatures.");
        return [.. Encoding.UTF8.GetString(bytes).Split('\n').Select(NoteSignature.Parse)];
    }

    /// <summary>
    /// Verifies the note against known keys: lines of unknown keys are ignored, one known key whose signature fails condemns the note, and at
    /// least one known key must have signed. A key signing twice counts once.
    /// </summary>
    public NoteVerdict Verify(params IEnumerable<VerifierKey> known)
    {
        var keys = known.ToList();
        var verified = new List<VerifiedSignature>();
        foreach (var signature in Signatures)
        {
            if (keys.Find(k => k.Owns(signature)) is not { } key) continue;
            if (!key.Verify(text, signature.Signature.Span))
                return NoteVerdict.Refused("note.bad-signature", $"The signature under the name {key.Name} does not fit.");
            if (verified.TrueForAll(v => !v.Key.Equals(key))) verified.Add(new VerifiedSignature(key, TimeOf(key, signature)));
        }
        return verified.Count > 0
            ? new NoteVerdict(verified, null, null)
            : NoteVerdict.Refused("note.no-known-signature", "None of the known keys has signed this note.");
    }

    static long? TimeOf(VerifierKey key, NoteSignature signature) =>
        key.Type == VerifierKey.Cosignature ? CosignedMessage.Time(signature.Signature.Span) : null;
}

/// <summary>A signature that was verified.</summary>
/// <param name="Key">By whom.</param>
/// <param name="Time">For cosignatures the POSIX seconds the cosigner states; otherwise null.</param>
public sealed record VerifiedSignature(VerifierKey Key, long? Time);

/// <summary>Whether a note holds.</summary>
/// <param name="Signatures">The verified signatures; empty when refused.</param>
/// <param name="Code">Null when it holds; otherwise <c>note.bad-signature</c> or <c>note.no-known-signature</c>.</param>
/// <param name="Sentence">Null when it holds; otherwise why not.</param>
public sealed record NoteVerdict(IReadOnlyList<VerifiedSignature> Signatures, string? Code, string? Sentence)
{
    /// <summary>Whether the text may be believed to be said by the keys in <see cref="Signatures"/>.</summary>
    public bool Holds => Code is null;

    /// <summary>Whether this key is among those that signed.</summary>
    public bool SignedBy(VerifierKey key) => Signatures.Any(s => s.Key.Equals(key));

    internal static NoteVerdict Refused(string code, string sentence) => new([], code, sentence);
}
