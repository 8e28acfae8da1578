using System.Security.Cryptography;
using System.Text;
using Custody.Server.Private;
using Custody.Transparency;

namespace Custody.Server.Log;

/// <summary>The key that signs checkpoints and heads, and the one promised to follow it. Files of mode 0600, outside the database. The next
/// key's file belongs offline: whoever holds both can write history anew.</summary>
public sealed class LogKeys : IDisposable
{
    readonly string folder;
    readonly string origin;
    readonly Passphrase passphrase;

    LogKeys(string folder, string origin, Passphrase passphrase)
    {
        (this.folder, this.origin, this.passphrase) = (folder, origin, passphrase);
        (Signer, NextDigest) = Read();
    }

    public SignerKey Signer { get; private set; }

    /// <summary>SHA-256 of the next key's vkey text, as leaf 0 or the last rotation promised it.</summary>
    public Hash NextDigest { get; private set; }

    /// <summary>Reads the keys of this folder, making them when there are none yet.</summary>
    /// <param name="mayMake">False once the ledger has signed anything: a key that is missing then was lost, and a new one would sign for nobody.</param>
    /// <exception cref="LogFault">A key is missing, readable by others, sealed without a passphrase, or another ledger's.</exception>
    public static LogKeys Open(string folder, string origin, Passphrase passphrase, bool mayMake)
    {
        if (!File.Exists(Signing(folder)))
        {
            if (!mayMake) throw new LogFault("key-missing", $"The ledger has signed checkpoints, and its key is not in {folder}. Bring it back from where copies are kept.");
            Make(folder, origin, passphrase);
        }
        return new(folder, origin, passphrase);
    }

    /// <summary>Makes the key that signs and the next one. Keys that are there stay; two processes that race both end with the winner's.</summary>
    public static void Make(string folder, string origin, Passphrase passphrase)
    {
        OwnerOnly.Folder(folder);
        OwnerOnly.ReadOrMake(Next(folder), () => Fresh(origin, passphrase));
        // The digest stands in a file of its own, so that the secret can be taken offline.
        OwnerOnly.ReadOrMake(Promise(folder), () => Encoding.ASCII.GetBytes(KeyFile.Read(Next(folder), origin)!.Verifier.Digest.Text));
        // Last: once it is there the others are.
        OwnerOnly.ReadOrMake(Signing(folder), () => Fresh(origin, passphrase));
    }

    /// <summary>Reads the files again, after a change of key by another process or by this one.</summary>
    public void Refresh()
    {
        var before = Signer;
        (Signer, NextDigest) = Read();
        before.Dispose();
    }

    (SignerKey, Hash) Read()
    {
        var signer = KeyFile.Read(Signing(folder), origin)
            ?? throw new LogFault("key-missing", $"The key that signs is not in {folder}. Bring it back from where copies are kept.");
        return File.Exists(Promise(folder)) && Hash.TryParse(File.ReadAllText(Promise(folder)), out var next)
            ? (signer.Open(passphrase), next)
            : throw new LogFault("key-promise", $"The file next.digest is not in {folder}, or holds no digest. Bring it back: the promise of the next key stands in the ledger.");
    }

    internal static byte[] Fresh(string origin, Passphrase passphrase)
    {
        using var fresh = SignerKey.FromSeed(origin, RandomNumberGenerator.GetBytes(32));
        return KeyFile.Written(fresh, passphrase);
    }

    internal static string Signing(string folder) => Path.Combine(folder, "signer");

    internal static string Next(string folder) => Path.Combine(folder, "next");

    internal static string Promise(string folder) => Path.Combine(folder, "next.digest");

    public void Dispose() => Signer.Dispose();
}
