using System.CommandLine;
using Custody.Ledger;
using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Server.Restoring;
using Command = System.CommandLine.Command;

namespace Custody.Server.Operating;

/// <summary>The command <c>restore</c>: from a backup, and after a database was restored that had lost what was published since.</summary>
static class RestoreCommand
{
    /// <param name="data">The option that names the data folder, common to all commands.</param>
    public static Command Make(Option<DirectoryInfo> data)
    {
        var restore = new Command("restore", "Bring a ledger back from a backup, and what to do when it lost what was published since.");
        Option<string?> because = new("--because") { Description = "What happened; recorded withheld." };
        var recover = new Command("recover", "Take the lost records back from the tiles and record that they were lost.") { because, data };
        recover.SetAction((parsed, ct) => Recover(parsed.GetValue(data)!, parsed.GetValue(because), ct));
        Argument<FileInfo[]> dossiers = new("dossier") { Description = "Dossiers that may hold lost entries.", Arity = ArgumentArity.OneOrMore };
        var back = new Command("put-back", "Put entries back that someone's dossier still has.") { dossiers, data };
        back.SetAction((parsed, ct) => PutBack(parsed.GetValue(data)!, parsed.GetValue(dossiers)!, ct));
        restore.Subcommands.Add(RestoreFromBackup.MakeFrom(data));
        restore.Subcommands.Add(RestoreFromBackup.MakeConfirm(data));
        restore.Subcommands.Add(recover);
        restore.Subcommands.Add(back);
        return restore;
    }

    // Nothing is prepared: a start refuses this database, and must.
    internal static async Task<int> On(DirectoryInfo data, Func<IServiceProvider, Task<int>> act, CancellationToken ct)
    {
        await using var postgres = await Serving.Postgres(data, ct);
        await using var services = OpenedLedger.Build(Serving.PlaceIn(data, postgres.ConnectionString), TimeProvider.System);
        await services.PrepareTables(ct);
        return await act(services);
    }

    static Task<int> Recover(DirectoryInfo data, string? because, CancellationToken ct) => On(data, async services =>
    {
        var done = await services.GetRequiredService<Recovery>().Run(because, ct);
        Console.WriteLine($"Records {done.First} to {done.Last} came back from the tiles: {done.Found} entries were still here, {done.Kept} that changed the key were kept, {done.Gone.Count} are gone, {done.Unnamed} belong to no stream known.");
        foreach (var (stream, n) in done.Gone) Console.WriteLine($"gone  {stream} {n}");
        Console.WriteLine("Acts recorded then, and withheld values, are lost with them. Ask whoever has dossiers from that time: 'restore put-back DOSSIER' puts entries back.");
        return 0;
    }, ct);

    static Task<int> PutBack(DirectoryInfo data, FileInfo[] files, CancellationToken ct) => On(data, async services =>
    {
        var unfit = false;
        foreach (var file in files)
        {
            if (!file.Exists) return Complaints.Say(new("no-dossier", $"There is no file {file.Name}.", "Give the dossier as it was handed out."));
            await using var stream = file.OpenRead();
            if (DossierReader.WhyNotOne(stream) is { } why) return Complaints.Say(new("no-dossier", $"{file.Name}: {why}", "Give the dossier as it was handed out."));
            var done = await services.GetRequiredService<PuttingBack>().Run(DossierReader.Read(stream), ct);
            foreach (var (name, n) in done.Entries) Console.WriteLine($"back  {name} {n}");
            Console.WriteLine($"{file.Name}: {done.Entries.Count} entries and {done.Values} withheld values put back.");
            foreach (var (name, n) in done.Others)
                await Console.Error.WriteLineAsync($"{file.Name}: entry {n} of {name} is another than the log holds. Keep this dossier: one of the two is false.");
            unfit |= done.Others.Count > 0;
        }
        return unfit ? 1 : 0;
    }, ct);
}
