using System.Security.Cryptography;
using System.Text;
using Custody.Server.Log;
using Custody.Server.Private;
using Custody.Server.Recording;
using Custody.Transparency;

namespace Custody.Server.Cosigning;

/// <summary>The key with which this server cosigns for others: a file of its own, mode 0600, never the log's key. There is none until the keeper makes one.</summary>
public sealed class CosignerKey(LedgerPlace place)
{
    public string Path => System.IO.Path.Combine(place.Folder("keys"), "cosigner");

    /// <summary>The key; null when this server cosigns for nobody. The caller disposes of it.</summary>
    /// <exception cref="LogFault">Others may read the file, or it holds no cosigner's key.</exception>
    public SignerKey? Open() => KeyFile.ReadCosigner(Path) switch
    {
        null => null,
        // Opened for every request: what takes half a second on purpose would let anybody keep this machine busy.
        { IsSealed: true } => throw new LogFault("key-sealed", $"The key in {Path} is sealed. A cosigner's key answers by itself and lies open, readable by its owner only."),
        var file => file.Open(Passphrase.None),
    };

    /// <summary>Makes the key unless it is there.</summary>
    /// <param name="name">Its name on cosignature lines; others will know this cosigner by it for ever.</param>
    /// <exception cref="Malformed"><c>vkey.name</c>.</exception>
    public VerifierKey Make(string name)
    {
        OwnerOnly.Folder(System.IO.Path.GetDirectoryName(Path)!);
        OwnerOnly.ReadOrMake(Path, () =>
        {
            using var fresh = SignerKey.FromSeed(name, RandomNumberGenerator.GetBytes(32), VerifierKey.Cosignature);
            return Encoding.UTF8.GetBytes(fresh.SecretText());
        });
        using var made = Open()!;
        return made.Verifier;
    }
}
