using System.Buffers.Binary;
using System.Text;
using NSec.Cryptography;

namespace Custody.Transparency;

/// <summary>A public key under a name, able to verify its lines in signed notes (c2sp.org/signed-note, "Verifier keys").</summary>
public sealed class VerifierKey : IEquatable<VerifierKey>
{
    /// <summary>Signature type of plain Ed25519 signatures over the note text.</summary>
    public const byte Ed25519 = 0x01;

    /// <summary>Signature type of timestamped Ed25519 cosignatures (c2sp.org/tlog-cosignature).</summary>
    public const byte Cosignature = 0x04;

    readonly PublicKey key;
    readonly byte[] raw;

    VerifierKey(string name, byte type, byte[] raw, PublicKey key) =>
        (Name, Type, this.raw, this.key, KeyId) = (name, type, raw, key, KeyNames.Id(name, type, raw));

    /// <summary>The key's name; for a ledger's own key its origin.</summary>
    public string Name { get; }

    /// <summary><see cref="Ed25519"/> or <see cref="Cosignature"/>.</summary>
    public byte Type { get; }

    /// <summary>The 32 bits that, with the name, identify the key in a signature line. Not a commitment to the key.</summary>
    public uint KeyId { get; }

    /// <summary>The 32 bytes of the Ed25519 public key (RFC 8032).</summary>
    public ReadOnlyMemory<byte> PublicKey => raw;

    /// <summary>The vkey text: name, eight hexadecimal digits, base64 of type and key, joined by plus.</summary>
    public string Text => $"{Name}+{KeyNames.Hex(KeyId)}+{Base64Std.Encode([Type, .. raw])}";

    /// <summary>SHA-256 of the vkey text: how a key is promised before it is shown.</summary>
    public Hash Digest => Hash.Of(Encoding.UTF8.GetBytes(Text));

    /// <summary>A key from its parts.</summary>
    /// <exception cref="Malformed"><c>vkey.name</c>, <c>vkey.type</c>, <c>vkey.key</c>.</exception>
    public static VerifierKey From(string name, byte type, ReadOnlySpan<byte> publicKey)
    {
        if (!KeyNames.IsValid(name)) throw new Malformed("vkey.name", "A key name is not empty and holds no space, plus or control character.");
        if (type is not (Ed25519 or Cosignature)) throw new Malformed("vkey.type", "Only Ed25519 keys of the types 0x01 and 0x04 are known here.");
        return NSec.Cryptography.PublicKey.TryImport(SignatureAlgorithm.Ed25519, publicKey, KeyBlobFormat.RawPublicKey, out var key)
            ? new VerifierKey(name, type, publicKey.ToArray(), key!)
            : throw new Malformed("vkey.key", "The public key is not 32 bytes of an Ed25519 key.");
    }

    /// <summary>Reads a vkey text.</summary>
    /// <exception cref="Malformed"><c>vkey</c> (not three parts), <c>vkey.name</c>, <c>vkey.type</c>, <c>vkey.key</c>, <c>vkey.id</c>.</exception>
    public static VerifierKey Parse(string text)
    {
        // Neither a name nor the eight digits hold a plus; base64 may.
        var parts = text.Length <= KeyNames.MaxLength + 64 ? text.Split('+', 3) : [];
        if (parts.Length != 3 || !Base64Std.TryDecode(parts[2], out var material) || material.Length == 0)
            throw new Malformed("vkey", "A verifier key is a name, eight hexadecimal digits and base64, joined by plus.");
        var key = From(parts[0], material[0], material.AsSpan(1));
        return string.Equals(parts[1], KeyNames.Hex(key.KeyId), StringComparison.Ordinal)
            ? key
            : throw new Malformed("vkey.id", "The key identifier does not belong to this name and key.");
    }

    /// <summary>Whether a signature line is this key's: name and identifier both.</summary>
    public bool Owns(NoteSignature signature) => signature.KeyId == KeyId && string.Equals(signature.Name, Name, StringComparison.Ordinal);

    /// <summary>Verifies the bytes of one signature line over a note text.</summary>
    /// <param name="noteText">The note text with its last line feed.</param>
    /// <param name="signature">Without the key identifier: 64 bytes, or for cosignatures 8 bytes of time and 64.</param>
    public bool Verify(ReadOnlySpan<byte> noteText, ReadOnlySpan<byte> signature) => Type == Cosignature
        ? signature.Length == 72
            && CosignedMessage.Time(signature) is { } time
            && SignatureAlgorithm.Ed25519.Verify(key, CosignedMessage.Of(noteText, time), signature[8..])
        : signature.Length == 64 && SignatureAlgorithm.Ed25519.Verify(key, noteText, signature);

    /// <inheritdoc/>
    public bool Equals(VerifierKey? other) => other is not null && string.Equals(Text, other.Text, StringComparison.Ordinal);

    /// <inheritdoc/>
    public override bool Equals(object? obj) => Equals(obj as VerifierKey);

    /// <inheritdoc/>
    public override int GetHashCode() => KeyId.GetHashCode();

    /// <summary>The vkey text.</summary>
    public override string ToString() => Text;
}

/// <summary>What a v1 cosignature signs (c2sp.org/tlog-cosignature, "Ed25519 signed message"): two lines, then the whole note text.</summary>
static class CosignedMessage
{
    /// <summary>The POSIX seconds at the front of a timestamped signature, or null beyond 2^63 - 1, which the specification forbids.</summary>
    internal static long? Time(ReadOnlySpan<byte> signature)
    {
        var time = BinaryPrimitives.ReadInt64BigEndian(signature);
        return time < 0 ? null : time;
    }

    internal static byte[] Of(ReadOnlySpan<byte> noteText, long time) =>
        [.. Encoding.ASCII.GetBytes(string.Create(System.Globalization.CultureInfo.InvariantCulture, $"cosignature/v1\ntime {time}\n")), .. noteText];
}
