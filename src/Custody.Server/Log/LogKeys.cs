using System.Security.Cryptography;
using System.Text;
using Custody.Server.Private;
using Custody.Transparency;

namespace Custody.Server.Log;

/// <summary>The key that signs checkpoints and heads, and the one promised to follow it. Files of mode 0600, outside the database. The next
/// key's file belongs offline: whoever holds both can write history anew.</summary>
public sealed class LogKeys : IDisposable
{
    LogKeys(SignerKey signer, Hash next) => (Signer, NextDigest) = (signer, next);

    public SignerKey Signer { get; }

    /// <summary>SHA-256 of the next key's vkey text, as leaf 0 or the last rotation promised it.</summary>
    public Hash NextDigest { get; }

    /// <summary>Reads the keys of this folder, making them when there are none yet.</summary>
    public static LogKeys Open(string folder, string origin)
    {
        OwnerOnly.Folder(folder);
        var signer = ReadOrMake(Path.Combine(folder, "signer"), origin);
        // The digest stands in a file of its own, so that the secret can be taken offline.
        var digest = OwnerOnly.ReadOrMake(Path.Combine(folder, "next.digest"), () =>
        {
            using var next = ReadOrMake(Path.Combine(folder, "next"), origin);
            return Encoding.ASCII.GetBytes(next.Verifier.Digest.Text);
        });
        return new LogKeys(signer, Hash.Parse(Encoding.ASCII.GetString(digest)));
    }

    static SignerKey ReadOrMake(string path, string origin)
    {
        var secret = OwnerOnly.ReadOrMake(path, () =>
        {
            using var fresh = SignerKey.FromSeed(origin, RandomNumberGenerator.GetBytes(32));
            return Encoding.UTF8.GetBytes(fresh.SecretText());
        });
        var key = SignerKey.Parse(Encoding.UTF8.GetString(secret).Trim());
        return key.Verifier.Name == origin ? key
            : throw new LogFault("key-name", $"The key in {path} is of '{key.Verifier.Name}', not of this ledger '{origin}'. Put the right key there.");
    }

    public void Dispose() => Signer.Dispose();
}
