using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using Custody.Transparency;
using NSec.Cryptography;

namespace Custody.Server.Log;

/// <summary>
/// A secret key under a passphrase: Argon2id (RFC 9106) makes a key of the passphrase, XChaCha20-Poly1305 seals the secret text under it. Six
/// lines: what it is; the public key, so that nobody needs the passphrase to tell which key it is; memory in KiB and passes; salt; nonce;
/// the sealed text. The lines before the last are bound in: none can be changed without the passphrase.
/// </summary>
sealed record SealedKey(VerifierKey Verifier, int MemoryKiB, int Passes, byte[] Salt, byte[] Nonce, byte[] Cipher)
{
    const string First = "custody-sealed-key/1";

    // RFC 9106 section 4, second recommended option: 64 MiB and three passes. One lane, because libsodium has no more.
    const int UsualMemoryKiB = 65_536;
    const int UsualPasses = 3;

    // A file that somebody changed must not make us ask for the machine's whole memory.
    const int MostMemoryKiB = 1_048_576;
    const int MostPasses = 32;

    static readonly AeadAlgorithm Cipherment = AeadAlgorithm.XChaCha20Poly1305;

    public static bool IsOne(ReadOnlySpan<byte> content) => content.StartsWith("custody-sealed-key/"u8);

    public static SealedKey Seal(SignerKey key, string passphrase)
    {
        var open = new SealedKey(key.Verifier, UsualMemoryKiB, UsualPasses, RandomNumberGenerator.GetBytes(16), RandomNumberGenerator.GetBytes(Cipherment.NonceSize), []);
        using var under = open.Derive(passphrase);
        return open with { Cipher = Cipherment.Encrypt(under, open.Nonce, open.Bound(), Encoding.UTF8.GetBytes(key.SecretText())) };
    }

    /// <summary>The key, or null when this is not its passphrase or the file was changed.</summary>
    public SignerKey? Open(string passphrase)
    {
        using var under = Derive(passphrase);
        var secret = Cipherment.Decrypt(under, Nonce, Bound(), Cipher);
        if (secret is null) return null;
        var key = SignerKey.Parse(Encoding.UTF8.GetString(secret));
        CryptographicOperations.ZeroMemory(secret);
        return key;
    }

    Key Derive(string passphrase)
    {
        var argon = PasswordBasedKeyDerivationAlgorithm.Argon2id(new Argon2Parameters { DegreeOfParallelism = 1, MemorySize = MemoryKiB, NumberOfPasses = Passes });
        return argon.DeriveKey(passphrase, Salt, Cipherment);
    }

    byte[] Bound() => Encoding.UTF8.GetBytes(string.Create(
        CultureInfo.InvariantCulture, $"{First}\n{Verifier.Text}\n{MemoryKiB} {Passes}\n{Convert.ToBase64String(Salt)}\n{Convert.ToBase64String(Nonce)}\n"));

    public byte[] ToBytes() => [.. Bound(), .. Encoding.ASCII.GetBytes(Convert.ToBase64String(Cipher) + "\n")];

    /// <exception cref="Malformed"><c>sealed-key</c>: not such a file, or one that asks for more than is reasonable.</exception>
    public static SealedKey Parse(byte[] content)
    {
        var lines = Encoding.UTF8.GetString(content).Split('\n');
        if (lines is not [First, var vkey, var cost, var salt, var nonce, var cipher, ""] || cost.Split(' ') is not [var memory, var passes]
            || !int.TryParse(memory, NumberStyles.None, CultureInfo.InvariantCulture, out var kib) || kib is < 8 or > MostMemoryKiB
            || !int.TryParse(passes, NumberStyles.None, CultureInfo.InvariantCulture, out var times) || times is < 1 or > MostPasses)
            throw Bad();
        return new(VerifierKey.Parse(vkey), kib, times, Bytes(salt, 16), Bytes(nonce, Cipherment.NonceSize), Bytes(cipher, null));
    }

    static byte[] Bytes(string text, int? length)
    {
        var bytes = new byte[text.Length];
        return Convert.TryFromBase64String(text, bytes, out var read) && (length is null ? read > Cipherment.TagSize : read == length) ? bytes[..read] : throw Bad();
    }

    static Malformed Bad() => new("sealed-key", "That is not a sealed key.");
}
