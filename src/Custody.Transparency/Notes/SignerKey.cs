using System.Buffers.Binary;
using NSec.Cryptography;

namespace Custody.Transparency;

/// <summary>A private Ed25519 key under a name. Holds a secret: its text is for a key file and nowhere else.</summary>
public sealed class SignerKey : IDisposable
{
    const string Prefix = "PRIVATE+KEY+";

    readonly Key key;

    SignerKey(string name, byte type, Key key)
    {
        this.key = key;
        Verifier = VerifierKey.From(name, type, key.PublicKey.Export(KeyBlobFormat.RawPublicKey));
    }

    /// <summary>The public half.</summary>
    public VerifierKey Verifier { get; }

    /// <summary>A key from its seed.</summary>
    /// <param name="name">Key name; for a ledger's own key its origin.</param>
    /// <param name="seed">32 bytes from a cryptographic generator (RFC 8032 section 5.1.5).</param>
    /// <param name="type"><see cref="VerifierKey.Ed25519"/>, or <see cref="VerifierKey.Cosignature"/> for a cosigner.</param>
    /// <exception cref="Malformed"><c>vkey.name</c>, <c>vkey.type</c>, <c>skey.seed</c>.</exception>
    public static SignerKey FromSeed(string name, ReadOnlySpan<byte> seed, byte type = VerifierKey.Ed25519)
    {
        var policy = new KeyCreationParameters { ExportPolicy = KeyExportPolicies.AllowPlaintextExport };
        return Key.TryImport(SignatureAlgorithm.Ed25519, seed, KeyBlobFormat.RawPrivateKey, out var key, in policy)
            ? new SignerKey(name, type, key!)
            : throw new Malformed("skey.seed", "A private key is a seed of 32 bytes.");
    }

    /// <summary>Reads the text form that the Go note package (golang.org/x/mod/sumdb/note) writes.</summary>
    /// <exception cref="Malformed"><c>skey</c>, <c>skey.id</c>, <c>skey.seed</c>, <c>vkey.name</c>, <c>vkey.type</c>. Never quotes the text.</exception>
    public static SignerKey Parse(string text)
    {
        var parts = text.StartsWith(Prefix, StringComparison.Ordinal) ? text[Prefix.Length..].Split('+', 3) : [];
        if (parts.Length != 3 || !Base64Std.TryDecode(parts[2], out var material) || material.Length == 0)
            throw new Malformed("skey", "A private key is PRIVATE+KEY, a name, eight hexadecimal digits and base64, joined by plus.");
        var signer = FromSeed(parts[0], material.AsSpan(1), material[0]);
        if (string.Equals(parts[1], KeyNames.Hex(signer.Verifier.KeyId), StringComparison.Ordinal)) return signer;
        signer.Dispose();
        throw new Malformed("skey.id", "The key identifier does not belong to this name and key.");
    }

    /// <summary>The secret text, for a key file.</summary>
    public string SecretText() =>
        $"{Prefix}{Verifier.Name}+{KeyNames.Hex(Verifier.KeyId)}+{Base64Std.Encode([Verifier.Type, .. key.Export(KeyBlobFormat.RawPrivateKey)])}";

    /// <summary>Signs a note text.</summary>
    /// <exception cref="InvalidOperationException">This is a cosigner's key.</exception>
    public NoteSignature Sign(ReadOnlySpan<byte> noteText) => Verifier.Type == VerifierKey.Ed25519
        ? new NoteSignature(Verifier.Name, Verifier.KeyId, SignatureAlgorithm.Ed25519.Sign(key, noteText))
        : throw new InvalidOperationException("A cosigner's key signs with a time.");

    /// <summary>Cosigns a checkpoint text (c2sp.org/tlog-cosignature).</summary>
    /// <param name="noteText">Text of the checkpoint.</param>
    /// <param name="time">When consistency was checked, POSIX seconds.</param>
    /// <exception cref="InvalidOperationException">This is not a cosigner's key.</exception>
    public NoteSignature Cosign(ReadOnlySpan<byte> noteText, long time)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(time);
        if (Verifier.Type != VerifierKey.Cosignature) throw new InvalidOperationException("Only a cosigner's key signs with a time.");
        var bytes = new byte[72];
        BinaryPrimitives.WriteInt64BigEndian(bytes, time);
        SignatureAlgorithm.Ed25519.Sign(key, CosignedMessage.Of(noteText, time), bytes.AsSpan(8));
        return new NoteSignature(Verifier.Name, Verifier.KeyId, bytes);
    }

    /// <summary>Wipes the key from memory.</summary>
    public void Dispose() => key.Dispose();
}
