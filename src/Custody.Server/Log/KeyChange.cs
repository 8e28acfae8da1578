using System.Security.Cryptography;
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
    public static string Prepare(string folder, string origin, Checkpoint at, bool compromised)
    {
        using var keys = LogKeys.Open(folder, origin);
        using var next = Read(Next(folder)) ?? throw new LogFault("next-key-away", $"The promised next key is not in {folder}. Bring it back from where it is kept.");
        using var after = SignerKey.Parse(Encoding.UTF8.GetString(OwnerOnly.ReadOrMake(After(folder), () =>
        {
            using var fresh = SignerKey.FromSeed(origin, RandomNumberGenerator.GetBytes(32));
            return Encoding.UTF8.GetBytes(fresh.SecretText());
        })));
        var rotation = new KeyRotation(origin, keys.Signer.Verifier, next.Verifier, after.Verifier.Digest, at.Size, at.Root, compromised);
        var note = compromised ? SignedNote.Sign(rotation.Text, next) : SignedNote.Sign(rotation.Text, keys.Signer, next);
        return Encoding.UTF8.GetString(note.ToArray());
    }

    /// <summary>Makes the promised key the one that signs, once the ledger names it. What was prepared and never recorded is left as it is.</summary>
    /// <param name="present">The key that the ledger's own entries name now, as vkey text.</param>
    /// <param name="promised">Digest of the key they promise next, 43 base64url characters.</param>
    /// <returns>True when files changed; whoever holds the keys open reads them again.</returns>
    /// <exception cref="LogFault">The key that the ledger names is not in the folder.</exception>
    public static bool Complete(string folder, string present, string promised)
    {
        using var after = Read(After(folder));
        var signs = IsSigner(folder, present);
        if (!signs) Succeed(folder, present);
        // The old next key goes last: until then a crash leaves it to be found above.
        if (after is null || after.Verifier.Digest.Text != promised) return !signs;
        OwnerOnly.Replace(Path.Combine(folder, "next.digest"), Encoding.ASCII.GetBytes(promised));
        File.Move(After(folder), Next(folder), overwrite: true);
        return true;
    }

    static bool IsSigner(string folder, string present)
    {
        using var signer = Read(Path.Combine(folder, "signer"));
        return signer?.Verifier.Text == present;
    }

    static void Succeed(string folder, string present)
    {
        using var next = Read(Next(folder));
        if (next?.Verifier.Text != present)
            throw new LogFault("key-away", $"The ledger names a key that is not in {folder}. Bring it back: without it nothing can be signed.");
        OwnerOnly.Replace(Path.Combine(folder, "signer"), Encoding.UTF8.GetBytes(next.SecretText()));
    }

    static string Next(string folder) => Path.Combine(folder, "next");

    static string After(string folder) => Path.Combine(folder, "next.after");

    static SignerKey? Read(string path) => File.Exists(path) ? SignerKey.Parse(File.ReadAllText(path).Trim()) : null;
}
