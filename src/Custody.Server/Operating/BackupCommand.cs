using System.CommandLine;
using Custody.Server.BackingUp;
using Custody.Server.Database;
using Custody.Server.Photographs;
using Command = System.CommandLine.Command;

namespace Custody.Server.Operating;

/// <summary>The command <c>backup</c>: a base backup, the write-ahead log from now on, files, and the keys apart.</summary>
static class BackupCommand
{
    /// <param name="data">The option that names the data folder, common to all commands.</param>
    public static Command Make(Option<DirectoryInfo> data)
    {
        Option<DirectoryInfo> to = new("--to") { Description = "Folder of the backup, on another disk; the same each time.", Required = true };
        Option<DirectoryInfo?> keys = new("--keys-to") { Description = "Folder for the keys, apart from everything else, on another medium." };
        var backup = new Command("backup", "Back up while the server works: database with every later change, log, photographs; keys apart.") { to, keys, data };
        backup.SetAction((parsed, ct) => Run(parsed.GetValue(data)!, parsed.GetValue(to)!, parsed.GetValue(keys), ct));
        return backup;
    }

    static async Task<int> Run(DirectoryInfo data, DirectoryInfo to, DirectoryInfo? keys, CancellationToken ct)
    {
        await using var postgres = await Serving.Postgres(data, ct);
        BackedUp done;
        try
        {
            done = await BackupDesk.Run(data.FullName, to.FullName, keys?.FullName, postgres, ct);
        }
        catch (BackupFault fault)
        {
            return Complaints.Say(fault.Said);
        }
        Console.WriteLine(done.Base is null
            ? "The database is not backed up: it is another operator's PostgreSQL (CUSTODY_POSTGRES). Its own operator must back it up, with its write-ahead log."
            : $"Database: {done.Base}; every later change goes to {Path.Combine(to.FullName, "wal")}, a minute behind at the most, while the server runs.");
        Console.WriteLine($"Log, photographs and the rest: {done.Files} files copied. A running server goes on copying.");
        Console.WriteLine(done.Keys is { } copied
            ? $"Keys: {copied} files copied to {keys!.FullName}. Keep them apart: whoever has both folders can read everything."
            : "Keys were not copied (--keys-to). Without them nothing that is withheld can be read again, and nothing signed.");
        Console.WriteLine("A key destroyed by an erasure is removed from the keys' folder at each backup. Destroy older copies of that folder: they would undo erasures.");
        if (File.Exists(Path.Combine(data.FullName, "keys", "log", "next"))) Console.WriteLine("The log's next key is never copied: take it offline with 'key take-out'.");
        if (PhotographOptions.From(new ConfigurationBuilder().AddEnvironmentVariables("CUSTODY_").Build(), data.FullName).S3 is not null)
            Console.WriteLine("Photographs are in an object store (CUSTODY_Photographs__S3): its own operator must back it up.");
        return 0;
    }
}
