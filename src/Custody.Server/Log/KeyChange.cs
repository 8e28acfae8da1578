using System.Text;
using Custody.Server.Private;
using Custody.Transparency;

namespace Custody.Server.Log;

/// <summary>Hands the log over to the promised next key, in two steps with the entry that says so between them: <see cref="Prepare"/> makes
/// the note, the ledger records it, <see cref="Complete"/> changes the files. The sequencer rests meanwhile: checkpoints beyond the change count
/// only under the new key. A crash in between is mended by completing again.</summary>
public static class KeyChange
{
    /// <summary>The note that leads from the present key to the promised one, and promises one more.</summary>
    /// <param name="folder">Folder of the log's keys; the promised key must have been brought back into it.</param>
    /// <param name="at">The newest checkpoint: up to its size the present key counts.</param>
    /// <param name="compromised">The present key is no longer ours alone: the promised one signs by itself.</param>
    /// <exception cref="LogFault">The promised key is not there, or another one stands in its place.</exception>
    public static string Prepare(string folder, string origin, Checkpoint at, bool compromised, Passphrase passphrase)
    {
        var present = KeyFile.Read(LogKeys.Signing(folder), origin) ?? throw new LogFault("key-missing", $"The key that signs is not in {folder}. Bring it back.");
        var promised = KeyFile.Read(LogKeys.Next(folder), origin)
            ?? throw new LogFault("next-key-away", $"The promised next key is not in {folder}. Bring it back from where it is kept.");
        if (promised.Verifier.Digest.Text != File.ReadAllText(LogKeys.Promise(folder)))
            throw new LogFault("key-not-promised", $"The key in {LogKeys.Next(folder)} is not the one that the ledger promised. Bring the right one.");
        using var next = promised.Open(passphrase);
        // It may have been taken out before the keys were sealed: the key that signs must not come to lie open by the change.
        if (!promised.IsSealed && passphrase.ForNew is not null) OwnerOnly.Replace(LogKeys.Next(folder), KeyFile.Written(next, passphrase));
        OwnerOnly.ReadOrMake(After(folder), () => LogKeys.Fresh(origin, passphrase));
        var after = KeyFile.Read(After(folder), origin)!;
        var rotation = new KeyRotation(origin, present.Verifier, next.Verifier, after.Verifier.Digest, at.Size, at.Root, compromised);
        return Encoding.UTF8.GetString(Signed(rotation, present, next, passphrase).ToArray());
    }

    static SignedNote Signed(KeyRotation rotation, KeyFile present, SignerKey next, Passphrase passphrase)
    {
        if (rotation.Compromised) return SignedNote.Sign(rotation.Text, next);
        using var old = present.Open(passphrase);
        return SignedNote.Sign(rotation.Text, old, next);
    }

    /// <summary>Makes the promised key the one that signs, once the ledger names it. What was prepared and never recorded is left as it is.</summary>
    /// <param name="present">The key that the ledger's own entries name now, as vkey text.</param>
    /// <param name="promised">Digest of the key they promise next, 43 base64url characters.</param>
    /// <returns>True when files changed; whoever holds the keys open reads them again.</returns>
    /// <exception cref="LogFault">The key that the ledger names is not in the folder.</exception>
    public static bool Complete(string folder, string origin, string present, string promised)
    {
        var after = KeyFile.Read(After(folder), origin);
        var signs = KeyFile.Read(LogKeys.Signing(folder), origin)?.Verifier.Text == present;
        if (!signs) Succeed(folder, origin, present);
        // The old next key goes last: until then a crash leaves it to be found above.
        if (after is null || after.Verifier.Digest.Text != promised) return !signs;
        OwnerOnly.Replace(LogKeys.Promise(folder), Encoding.ASCII.GetBytes(promised));
        File.Move(After(folder), LogKeys.Next(folder), overwrite: true);
        return true;
    }

    // Copied as it stands, sealed or not: no passphrase is needed to finish what a crash cut short.
    static void Succeed(string folder, string origin, string present)
    {
        var next = KeyFile.Read(LogKeys.Next(folder), origin);
        if (next?.Verifier.Text != present)
            throw new LogFault("key-away", $"The ledger names a key that is not in {folder}. Bring it back: without it nothing can be signed.");
        OwnerOnly.Replace(LogKeys.Signing(folder), next.Content);
    }

    static string After(string folder) => Path.Combine(folder, "next.after");
}
