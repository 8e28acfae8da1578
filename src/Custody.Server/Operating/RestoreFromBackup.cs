using System.CommandLine;
using System.Globalization;
using Custody.Server.BackingUp;
using Custody.Server.Database;
using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Server.Restoring;
using Command = System.CommandLine.Command;

namespace Custody.Server.Operating;

/// <summary><c>restore from</c>: a data folder out of a backup; and <c>restore confirm</c>: open it again once somebody outside was asked.</summary>
static class RestoreFromBackup
{
    const int TailLost = 1;

    public static Command MakeFrom(Option<DirectoryInfo> data)
    {
        Argument<DirectoryInfo> from = new("backup") { Description = "The folder that was given to 'backup --to'." };
        Option<DirectoryInfo> keys = new("--keys") { Description = "The folder that was given to 'backup --keys-to'.", Required = true };
        Option<string?> until = new("--until") { Description = "Moment to go back to, as 2031-04-05T06:07:08Z; as far as the archive goes when left out." };
        Option<DirectoryInfo[]> logs = new("--log") { Description = "Another copy of the log's folder: the lost machine's, or what a follower saved with --tiles.", DefaultValueFactory = _ => [] };
        until.Validators.Add(given =>
        {
            if (given.GetValueOrDefault<string?>() is { } said && Moment(said) is null) given.AddError("--until takes a moment in UTC: 2031-04-05T06:07:08Z.");
        });
        var command = new Command("from", "Make a new data folder (--data) out of a backup and its keys.") { from, keys, until, logs, data };
        command.SetAction((parsed, ct) => From(new(
            parsed.GetValue(from)!.FullName, parsed.GetValue(keys)!.FullName, parsed.GetValue(data)!.FullName,
            parsed.GetValue(until) is { } said ? Moment(said) : null, [.. parsed.GetValue(logs)!.Select(l => l.FullName)]), ct));
        return command;
    }

    static DateTimeOffset? Moment(string said) => DateTimeOffset.TryParseExact(
        said, ["yyyy-MM-dd'T'HH:mm:ss'Z'", "yyyy-MM-dd'T'HH:mm:ss.FFFFFF'Z'"], CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal | DateTimeStyles.AdjustToUniversal, out var moment)
        ? moment : null;

    static async Task<int> From(RestoreWish wish, CancellationToken ct)
    {
        var options = PostgresOptions.FromEnvironment(Environment.GetEnvironmentVariable);
        BroughtBack done;
        try
        {
            done = await FromBackup.Run(wish, options, new Progress<string>(Console.Error.WriteLine), ct);
        }
        catch (BackupFault fault)
        {
            return Complaints.Say(fault.Said);
        }
        Console.WriteLine(done.Base is null
            ? "Files and keys are back. The database is another operator's (CUSTODY_POSTGRES): have it restored by them, then go on here."
            : $"Brought back from {done.Base} and the archive{(wish.Until is { } u ? string.Create(CultureInfo.InvariantCulture, $", as at {u:u}") : "")}.");
        if (done.KeysLeftOut > 0) Console.WriteLine($"{done.KeysLeftOut} keys in the copy had been destroyed by erasures and were left out.");
        return await Standing(new DirectoryInfo(wish.Data), ct);
    }

    /// <summary>Says how database and log stand to one another, so that a lost tail is known before anything is started.</summary>
    static async Task<int> Standing(DirectoryInfo data, CancellationToken ct)
    {
        await using var postgres = await Serving.Postgres(data, ct);
        await using var services = OpenedLedger.Build(Serving.PlaceIn(data, postgres.ConnectionString), TimeProvider.System);
        await services.PrepareTables(ct);
        var size = await services.GetRequiredService<Leaves>().Size(ct);
        var signed = services.GetRequiredService<Checkpoints>().LastOutside()?.Size ?? 0;
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"The database has {size} leaves, the last checkpoint signed {signed}."));
        if (size >= signed)
        {
            Console.WriteLine("Nothing that this copy knows of is lost. Now ask outside: 'restore confirm'. Until then the server does not start.");
            return 0;
        }
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture,
            $"The tail is lost: {signed - size} published entries are not in the database. Look for a newer copy, or 'restore recover' takes their records back from the tiles. Then 'restore confirm'."));
        return TailLost;
    }

    public static Command MakeConfirm(Option<DirectoryInfo> data)
    {
        Option<FileInfo[]> seen = new("--seen") { Description = "Checkpoints that somebody outside has seen: a dossier's, a follower's, a cosigner's.", DefaultValueFactory = _ => [] };
        Option<bool> alone = new("--nobody-outside") { Description = "Answer for it that nobody outside has seen more than is here." };
        var command = new Command("confirm", "Ask cosigners and compare what was seen outside; then let a ledger brought back from a backup start again.") { seen, alone, data };
        command.SetAction((parsed, ct) => RestoreCommand.On(parsed.GetValue(data)!, async services =>
        {
            List<byte[]> notes = [];
            foreach (var file in parsed.GetValue(seen)!) notes.Add(await File.ReadAllBytesAsync(file.FullName, ct));
            var borne = await services.GetRequiredService<Confirming>().Run(notes, parsed.GetValue(alone), ct);
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"Size {borne.Size}: borne out by {borne.Cosigners} cosigners and {borne.Seen} checkpoints seen outside. The server may start."));
            return 0;
        }, ct));
        return command;
    }
}
