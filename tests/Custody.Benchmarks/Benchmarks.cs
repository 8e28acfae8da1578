using System.Runtime.InteropServices;

namespace Custody.Benchmarks;

/// <summary>Everything in turn, on one database, then the table and the file.</summary>
static class Benchmarks
{
    /// <param name="growth">Events up to which a history is grown on a database of its own; 0 for no further than <see cref="Plan.Events"/>.</param>
    public static async Task<int> Run(Plan plan, bool checkerOnly, bool databaseOnly, int growth, FileInfo? json, CancellationToken ct)
    {
        Figures figures = new();
        if (!databaseOnly) await WithoutPostgres(plan, figures, ct);
        if (!checkerOnly) await OnPostgres(plan, growth, figures, ct);
        return await Tell(figures, json, ct);
    }

    static async Task WithoutPostgres(Plan plan, Figures figures, CancellationToken ct)
    {
        Say("seasons of a bat with thirty facts");
        BenchMath.MeasureSeasons(figures);
        Say($"native checker: a small dossier, then 10,000 entries and {plan.Pictures} photographs of 4 MiB");
        await Checking.Measure(plan, figures, ct);
        Say("weighing one bat");
        WeighingBench.Measure(figures);
        Say($"looking for a bat's places in a public log of {plan.Leaves} entries");
        Scanning.Measure(plan, figures);
        Say($"proofs from the tiles of a log of {plan.Tree} leaves");
        Proofs.Measure(plan, figures);
        Say("computing opinions again");
        RecomputeBench.Measure(figures);
    }

    /// <summary>Loads a history, orders it and audits it; nothing else is measured.</summary>
    public static async Task<int> AuditAlone(int events, FileInfo? json, CancellationToken ct)
    {
        Figures figures = new();
        await using (var bench = await Bench.Open(ct))
        {
            bench.Set(await Writers.Register(bench, 8, ct));
            Say($"loading a history of {events} entries");
            await BulkLoad.Load(bench, events, ct);
            Say("ordering and auditing it");
            await Auditing.Measure(bench, figures, ct);
        }
        return await Tell(figures, json, ct);
    }

    /// <summary>Proofs from the tiles of a large log; nothing else is measured.</summary>
    public static Task<int> ProofsAlone(Plan plan, FileInfo? json, CancellationToken ct)
    {
        Figures figures = new();
        Proofs.Measure(plan, figures);
        return Tell(figures, json, ct);
    }

    /// <summary>What an event takes on disk; nothing else is measured.</summary>
    public static async Task<int> StorageAlone(Plan plan, FileInfo? json, CancellationToken ct)
    {
        Figures figures = new();
        await using (var bench = await Bench.Open(ct)) await Storing.Measure(bench, plan, figures, ct);
        return await Tell(figures, json, ct);
    }

    /// <summary>Computes opinions again, in memory and through the database; nothing else is measured.</summary>
    public static async Task<int> RecomputeAlone(FileInfo? json, CancellationToken ct)
    {
        Figures figures = new();
        RecomputeBench.Measure(figures);
        await using (var bench = await Bench.Open(ct)) await Recompute(bench, Plan.Of(quick: false, events: 0), figures, ct);
        return await Tell(figures, json, ct);
    }

    static async Task Recompute(Bench bench, Plan plan, Figures figures, CancellationToken ct)
    {
        Say($"loading {plan.Opinions} bats with an opinion each, then computing every opinion again in a process of its own");
        await RecomputeStored.Measure(bench, plan.Opinions, figures, ct);
    }

    static async Task<int> Tell(Figures figures, FileInfo? json, CancellationToken ct)
    {
        await Console.Out.WriteAsync(figures.Table());
        if (json is not null) await File.WriteAllTextAsync(json.FullName, figures.Json(), ct);
        return 0;
    }

    static async Task OnPostgres(Plan plan, int growth, Figures figures, CancellationToken ct)
    {
        await using var bench = await Bench.Open(ct);
        Say($"{RuntimeInformation.OSDescription}, {Environment.ProcessorCount} processors, .NET {Environment.Version}; {bench.Postgres}");
        Say($"appending: {plan.Bats} bats, {plan.Rounds} rounds of {plan.Window.TotalSeconds} s of each kind, in turn");
        await Appending.Measure(bench, plan, figures, ct);
        Say($"sequencer behind 8 writers at full rate, {plan.Behind.TotalSeconds} s");
        await Sequencing.MeasureLag(bench, plan, figures, ct);
        Say($"what {plan.Stored} bats of forty entries take on disk");
        await Storing.Measure(bench, plan, figures, ct);
        await Asking.Measure(bench, plan, figures, Say, ct);
        Say($"appending while a history grows to {plan.Events} entries");
        if (growth == 0) await Growing.Measure(bench, plan.Events, plan, audits: false, figures, ct);
        else await BulkLoad.Load(bench, plan.Events, ct);
        Say("sequencer alone");
        await Sequencing.MeasureSpeed(bench, plan, figures, ct);
        Say("rebuilding every inline projection, in a process of its own");
        await Rebuilding.Measure(bench, figures, ct);
        Say("auditing it all, in a process of its own");
        await Auditing.Measure(bench, figures, ct);
        Say($"the same entries in git, {plan.Commits} commits");
        await GitHistory.Measure(bench, plan, figures, ct);
        await Recompute(bench, plan, figures, ct);
        if (growth > 0) await Grow(growth, plan, figures, ct);
    }

    /// <summary>On a database of its own: the one before has other things in it.</summary>
    static async Task Grow(int events, Plan plan, Figures figures, CancellationToken ct)
    {
        Say($"a history grown from 10,000 to {events} entries, appended to and audited on the way");
        await using var bench = await Bench.Open(ct);
        bench.Set(await Writers.Register(bench, plan.Bats, ct));
        await Growing.Measure(bench, events, plan, audits: true, figures, ct);
    }

    // Progress goes beside the figures: the table alone is the output.
    static void Say(string sentence) => Console.Error.WriteLine(sentence);
}
