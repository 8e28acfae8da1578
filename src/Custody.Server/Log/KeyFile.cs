using System.Text;
using Custody.Server.Private;
using Custody.Transparency;

namespace Custody.Server.Log;

/// <summary>One secret key as a file, of the log or of a cosigner: its secret text, or that text sealed under a passphrase. Readable by its owner only, or refused.</summary>
public sealed class KeyFile
{
    readonly byte[] content;
    readonly string path;

    KeyFile(string path, byte[] content, VerifierKey verifier, bool isSealed) => (this.path, this.content, Verifier, IsSealed) = (path, content, verifier, isSealed);

    /// <summary>The public half; known without the passphrase.</summary>
    public VerifierKey Verifier { get; }

    public bool IsSealed { get; }

    /// <summary>The file as it stands: what is copied when a key changes its place.</summary>
    public ReadOnlySpan<byte> Content => content;

    /// <summary>Reads the file, or null when there is none.</summary>
    /// <exception cref="LogFault">Others may read it (<c>key-readable</c>), it holds no key (<c>key-unreadable</c>), or one of another name (<c>key-name</c>).</exception>
    public static KeyFile? Read(string path, string origin) => Read(path, "a log", VerifierKey.Ed25519, name => name == origin ? null
        : new LogFault("key-name", $"The key in {path} is of '{name}', not of this ledger '{origin}'. Put the right key there."));

    /// <summary>Reads the file of a cosigner's key, whatever its name, or null when there is none.</summary>
    /// <exception cref="LogFault">Others may read it (<c>key-readable</c>), or it holds no such key (<c>key-unreadable</c>).</exception>
    public static KeyFile? ReadCosigner(string path) => Read(path, "a cosigner", VerifierKey.Cosignature, _ => null);

    static KeyFile? Read(string path, string of, byte type, Func<string, LogFault?> otherwise)
    {
        if (!File.Exists(path)) return null;
        if (OwnerOnly.WhyNot(path) is { } wide) throw new LogFault("key-readable", wide);
        var content = File.ReadAllBytes(path);
        try
        {
            var (verifier, isSealed) = Public(content);
            if (verifier.Type == type) return otherwise(verifier.Name) is { } fault ? throw fault : new(path, content, verifier, isSealed);
        }
        catch (Malformed)
        {
            // What is wrong is not told: the text is a secret.
        }
        throw new LogFault("key-unreadable", $"The file {path} holds no key of {of}. Bring the right one back from where copies are kept.");
    }

    static (VerifierKey, bool) Public(byte[] content)
    {
        if (SealedKey.IsOne(content)) return (SealedKey.Parse(content).Verifier, true);
        using var key = SignerKey.Parse(Encoding.UTF8.GetString(content).Trim());
        return (key.Verifier, false);
    }

    /// <summary>The key itself.</summary>
    /// <exception cref="LogFault">It is sealed and no passphrase is given (<c>key-sealed</c>), or another one (<c>passphrase-wrong</c>).</exception>
    public SignerKey Open(Passphrase passphrase) => IsSealed ? Unsealed(passphrase) : SignerKey.Parse(Encoding.UTF8.GetString(content).Trim());

    SignerKey Unsealed(Passphrase passphrase)
    {
        var given = passphrase.Of(path) ?? throw new LogFault("key-sealed",
            $"The key in {path} is sealed. Name a file with its passphrase by --passphrase-file or {Configuring.Settings.KeyPassphraseFile.Name}, or run where it can be asked for.");
        return SealedKey.Parse(content).Open(given)
            ?? throw new LogFault("passphrase-wrong", $"That is not the passphrase of the key in {path}, or the file was changed.");
    }

    /// <summary>What a key is written as: sealed when there is a passphrase for new keys.</summary>
    public static byte[] Written(SignerKey key, Passphrase passphrase) =>
        passphrase.ForNew is { } word ? SealedKey.Seal(key, word).ToBytes() : Encoding.UTF8.GetBytes(key.SecretText());
}
