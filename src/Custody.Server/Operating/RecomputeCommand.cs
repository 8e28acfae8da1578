using System.CommandLine;
using System.Text.Json;
using Custody.Bats;
using Custody.Server.Readings;
using Custody.Server.Recording;
using Command = System.CommandLine.Command;

namespace Custody.Server.Operating;

/// <summary>The <c>recompute</c> command: opinions computed again from the ledger alone. It ends with 0 only if every number that is said to be computed
/// comes out as the same text.</summary>
static class RecomputeCommand
{
    public static Command Make(Option<DirectoryInfo> data)
    {
        Argument<string?> bat = new("bat") { Description = "Short number or stream name.", Arity = ArgumentArity.ZeroOrOne };
        Argument<long?> opinion = new("opinion") { Description = "Entry of the opinion; every one of the bat when left out.", Arity = ArgumentArity.ZeroOrOne };
        Option<bool> all = new("--all") { Description = "Every opinion in the ledger." };
        Option<bool> today = new("--today") { Description = "Also under today's files, with the causes of any difference in order." };
        var json = BenchCommands.Json();
        Command command = new("recompute", "Compute opinions again from the ledger alone.") { bat, opinion, all, today, json, data };
        command.Validators.Add(given =>
        {
            if (given.GetValue(all) == given.GetValue(bat) is not null) given.AddError("Name a bat, or give --all.");
            else if (given.GetValue(all) && given.GetValue(today)) given.AddError("--today is asked of one bat at a time.");
        });
        command.SetAction((parsed, ct) => parsed.GetValue(all)
            ? All(parsed.GetValue(data)!, parsed.GetValue(json), ct)
            : OfBat(parsed.GetValue(data)!, parsed.GetValue(bat)!, parsed.GetValue(opinion), parsed.GetValue(today), parsed.GetValue(json), ct));
        return command;
    }

    static async Task<int> OfBat(DirectoryInfo data, string said, long? opinion, bool today, bool json, CancellationToken ct)
    {
        await using var ledger = await OpenedLedger.Open(data, ct);
        if (await ledger.Get<ReadingDesk>().HistoryOf(said, ct) is not { } history)
            return Complaints.Say(BatFinder.Unknown(said));
        var reading = history.AsCorrected();
        var streams = await ledger.Get<RecomputeDesk>().Cited(reading, ct);
        OpinionRecomputed[] read = [.. history.Entries.Select(e => e.N).Where(n => opinion is null || n == opinion).Select(n => reading.Recompute(n, streams, today)).OfType<OpinionRecomputed>()];
        if (read.Length == 0 && opinion is not null)
            return Complaints.Say(new("no-such-opinion", $"Entry {opinion} of this bat is no opinion given here.", "Name the entry that gave it."));
        if (json) Console.WriteLine(JsonSerializer.Serialize(read, BenchCommands.Indented));
        else foreach (var line in read.SelectMany(OpinionText.Of)) Console.WriteLine(line);
        return read.All(r => r.Holds) ? 0 : 1;
    }

    static async Task<int> All(DirectoryInfo data, bool json, CancellationToken ct)
    {
        await using var ledger = await OpenedLedger.Open(data, ct);
        var (opinions, computed, fail) = (0, 0, 0);
        await foreach (var read in ledger.Get<RecomputeDesk>().All(ct))
        {
            opinions++;
            if (read.Opinion.Computed > 0) computed++;
            if (!read.Opinion.Holds) fail++;
            if (json) Console.WriteLine(JsonSerializer.Serialize(read, JsonText.Options));
            else if (!read.Opinion.Holds)
                foreach (var line in OpinionText.Of(read.Opinion)) Console.WriteLine($"{read.Bat.ShortNumber} {line}");
        }
        // Whoever reads JSON lines has the count already.
        if (!json) Console.WriteLine($"{opinions} opinions: {computed} with computed numbers, {opinions - computed} stated only; {(fail == 0 ? "every computed number comes out the same" : fail + " do not come out the same")}.");
        return fail == 0 ? 0 : 1;
    }
}
