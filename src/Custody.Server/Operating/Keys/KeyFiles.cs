using Custody.Server.Log;
using Custody.Server.Private;
using Custody.Transparency;

namespace Custody.Server.Operating.Keys;

/// <summary>What the keeper does with key files; no database is asked.</summary>
static class KeyFiles
{
    /// <summary>Makes both keys of a ledger that does not exist yet.</summary>
    public static int New(DirectoryInfo data, Passphrase passphrase, FileInfo? takeOut)
    {
        var (folder, origin) = Place(data);
        if (File.Exists(LogKeys.Signing(folder)) || File.Exists(LogKeys.Promise(folder)))
            throw new LogFault("keys-there", $"There are keys in {folder} already. A ledger's keys are changed by 'key change', never made anew.");
        LogKeys.Make(folder, origin, passphrase);
        if (takeOut is not null) Move(folder, origin, takeOut);
        return Show(data);
    }

    public static int Show(DirectoryInfo data)
    {
        var (folder, origin) = Place(data);
        var signer = KeyFile.Read(LogKeys.Signing(folder), origin) ?? throw NoKeys(folder);
        var next = KeyFile.Read(LogKeys.Next(folder), origin);
        Console.WriteLine($"ledger     {origin}");
        Console.WriteLine($"key        {signer.Verifier.Text}");
        Console.WriteLine($"next key   {File.ReadAllText(LogKeys.Promise(folder))} (SHA-256 of its text, as promised)");
        Console.WriteLine($"signs with {LogKeys.Signing(folder)}{Sealed(signer)}");
        Console.WriteLine(next is null
            ? "The secret of the next key is not in the data folder: whoever keeps it, keeps it."
            : $"The secret of the next key lies in {LogKeys.Next(folder)}{Sealed(next)}. Take it offline (key take-out FILE): whoever holds both keys can write history anew.");
        return 0;
    }

    /// <summary>Moves the secret of the next key into a file; its digest stays.</summary>
    public static int TakeAway(DirectoryInfo data, FileInfo file)
    {
        var (folder, origin) = Place(data);
        Move(folder, origin, file);
        Console.WriteLine($"The next key is in {file.FullName} and no longer here. Keep it offline, and a second copy elsewhere: without it the key cannot be changed.");
        return 0;
    }

    /// <summary>Seals the keys that lie open in the folder.</summary>
    public static int SealThose(DirectoryInfo data, Passphrase passphrase)
    {
        var (folder, origin) = Place(data);
        foreach (var path in new[] { LogKeys.Signing(folder), LogKeys.Next(folder) })
        {
            if (KeyFile.Read(path, origin) is not { IsSealed: false } open) continue;
            using var key = open.Open(passphrase);
            OwnerOnly.Replace(path, KeyFile.Written(key, passphrase));
            Console.WriteLine($"Sealed {path}. Older backups still hold it open.");
        }
        return 0;
    }

    /// <summary>Puts the promised key back into the folder, where the change of key finds it.</summary>
    public static void BringBack(string folder, string origin, FileInfo file)
    {
        var key = KeyFile.Read(file.FullName, origin) ?? throw new LogFault("next-key-away", $"There is no file {file.FullName}.");
        if (key.Verifier.Digest.Text != File.ReadAllText(LogKeys.Promise(folder)))
            throw new LogFault("key-not-promised", $"The key in {file.FullName} is not the one that the ledger promised. Bring the right one.");
        OwnerOnly.Replace(LogKeys.Next(folder), key.Content);
    }

    public static void Move(string folder, string origin, FileInfo file)
    {
        var next = KeyFile.Read(LogKeys.Next(folder), origin) ?? throw new LogFault("next-key-away", $"The next key is not in {folder}; it was taken out before.");
        if (File.Exists(file.FullName)) throw new LogFault("file-exists", $"There is a file {file.FullName} already. Name another: a key is not written over anything.");
        OwnerOnly.ReadOrMake(file.FullName, () => next.Content.ToArray());
        // Read back before the only other copy goes.
        if (KeyFile.Read(file.FullName, origin)?.Content.SequenceEqual(next.Content) != true)
            throw new LogFault("key-unreadable", $"What was written into {file.FullName} does not read back. The next key is still in {folder}.");
        File.Delete(LogKeys.Next(folder));
    }

    static (string Folder, string Origin) Place(DirectoryInfo data)
    {
        data.Create();
        var place = Serving.PlaceIn(data, "");
        return (place.Folder("keys/log"), place.Origin);
    }

    static string Sealed(KeyFile key) => key.IsSealed ? ", sealed under a passphrase" : "";

    static LogFault NoKeys(string folder) => new("key-missing", $"There are no keys in {folder} yet: 'key new' makes them, or the first start of the server.");
}
