using System.CommandLine;
using System.Text.Json;
using Custody.Bats;
using Custody.Evidence.Weight;
using Custody.Evidence.Weight.Simulation;
using Custody.Server.Grading;
using Custody.Server.Readings;
using Custody.Server.Recording;
using Command = System.CommandLine.Command;

namespace Custody.Server.Operating;

/// <summary>The commands <c>weigh</c>, <c>zones</c> and <c>simulate</c>. They compute and record nothing.</summary>
static class WeighingCommands
{
    static readonly JsonSerializerOptions Indented = new(JsonText.Options) { WriteIndented = true };

    public static IEnumerable<Command> Make(Option<DirectoryInfo> data)
    {
        yield return Weigh(data);
        yield return Zones(data);
        yield return Simulate();
    }

    static Command Weigh(Option<DirectoryInfo> data)
    {
        Argument<string> bat = new("bat") { Description = "Short number or stream name." };
        Option<string?> habits = new("--habits") { Description = "Stream of the player's habit file; the one that the bat's entries last cite when left out." };
        Option<string?> comparison = new("--comparison") { Description = "Stream of the comparison file; the one the habit file is set beside when left out." };
        Option<long?> habitsVersion = new("--habits-version") { Description = "Version of its counts; the newest when left out." };
        Option<long?> comparisonVersion = new("--comparison-version") { Description = "Version of the comparison file's counts." };
        Option<long?> examination = new("--examination") { Description = "Entry of the examination; the latest with locked findings when left out." };
        Option<string?> read = new("--read") { Description = "Which value a finding shows: characteristic:value, separated by commas." };
        Option<string?> posed = new("--posed") { Description = "What a posed picture counts, 0 to 1: shown beside 0 and 1, never in the number." };
        Option<string?> spent = new("--spent") { Description = "Characteristics used for dating, separated by commas: they do not score again." };
        Option<string?> loss = new("--loss") { Description = "How often a mark seen in play is gone later: characteristic:factor, separated by commas." };
        Option<string?> likeness = new("--likeness") { Description = "A where the comparison file cannot tell it." };
        Option<string?> basis = new("--basis") { Description = "What is counted: play or survivingBat." };
        Option<string?> scale = new("--scale") { Description = "Id of the verbal scale." };
        Option<bool> json = new("--json") { Description = "As JSON, with all that a page draws it from." };
        Command weigh = new("weigh", "Weigh a bat's locked findings against a player's habits.")
            { bat, habits, comparison, habitsVersion, comparisonVersion, examination, read, posed, spent, loss, likeness, basis, scale, json, data };
        weigh.SetAction((p, ct) => Run(
            p.GetValue(data)!, p.GetValue(bat)!,
            new(p.GetValue(habits), p.GetValue(comparison), p.GetValue(habitsVersion), p.GetValue(comparisonVersion), p.GetValue(examination), p.GetValue(read),
                p.GetValue(posed), p.GetValue(spent), p.GetValue(loss), p.GetValue(likeness), p.GetValue(basis), p.GetValue(scale)),
            p.GetValue(json), ct));
        return weigh;
    }

    static async Task<int> Run(DirectoryInfo data, string said, WeighingWish wish, bool json, CancellationToken ct)
    {
        await using var ledger = await OpenedLedger.Open(data, ct);
        if (await ledger.Get<ReadingDesk>().HistoryOf(said, ct) is not { } history)
            return Complaints.Say(BatFinder.Unknown(said));
        var (weighed, refused) = await ledger.Get<WeighingDesk>().Weigh(history.AsCorrected(), wish, ct);
        if (weighed is null) return Complaints.Say(refused!);
        if (json) Console.WriteLine(JsonSerializer.Serialize(weighed, Indented));
        else foreach (var line in WeighingText.Of(weighed)) Console.WriteLine(line);
        return 0;
    }

    static Command Zones(Option<DirectoryInfo> data)
    {
        var (bat, json) = (BenchCommands.Bat(), BenchCommands.Json());
        Option<string?> habits = new("--habits") { Description = "Stream of the player's habit file; the one that the bat's entries last cite when left out." };
        Option<long?> version = new("--habits-version") { Description = "Version of its counts; the newest when left out." };
        Option<long?> examination = new("--examination") { Description = "Entry of the examination; every one with locked findings when left out." };
        Command zones = new("zones", "Compare a bat's placed findings with a player's usual zones.") { bat, habits, version, examination, json, data };
        zones.SetAction(async (p, ct) =>
        {
            await using var ledger = await OpenedLedger.Open(p.GetValue(data)!, ct);
            if (await ledger.Get<ReadingDesk>().HistoryOf(p.GetValue(bat)!, ct) is not { } history)
                return Complaints.Say(BatFinder.Unknown(p.GetValue(bat)));
            var (read, refused) = await ledger.Get<WeighingDesk>().Zones(history.AsCorrected(), p.GetValue(habits), p.GetValue(version), p.GetValue(examination), ct);
            if (read is null) return Complaints.Say(refused!);
            if (p.GetValue(json)) Console.WriteLine(JsonSerializer.Serialize(read, Indented));
            else foreach (var line in WeighingText.Of(read)) Console.WriteLine(line);
            return 0;
        });
        return zones;
    }

    static Command Simulate()
    {
        Option<int> bats = new("--bats") { Description = "How many bats, 40 to 1,000,000.", DefaultValueFactory = _ => 10_000 };
        bats.Validators.Add(given =>
        {
            if (given.GetValueOrDefault<int>() is < 40 or > 1_000_000) given.AddError("--bats takes 40 to 1,000,000.");
        });
        Option<ulong> seed = new("--seed") { Description = "The same seed gives the same figures.", DefaultValueFactory = _ => 7 };
        Option<bool> json = new("--json") { Description = "As one JSON object." };
        Command simulate = new("simulate", "Weigh invented bats whose truth is known, and say how good the numbers are.") { bats, seed, json };
        simulate.SetAction(p =>
        {
            var result = Simulator.Run(p.GetValue(bats), new SeededNumbers(p.GetValue(seed)));
            if (p.GetValue(json)) Console.WriteLine(JsonSerializer.Serialize(SimulationText.Flat(result, p.GetValue(seed)), Indented));
            else foreach (var line in SimulationText.Of(result)) Console.WriteLine(line);
            return 0;
        });
        return simulate;
    }
}
