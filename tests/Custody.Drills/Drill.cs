using System.Diagnostics;
using System.Globalization;

namespace Custody.Drills;

/// <summary>What to do.</summary>
/// <param name="Server">Path of Custody.Server.dll.</param>
/// <param name="Longest">After this the drill gives up.</param>
sealed record Plan(int Kills, string? Data, string Server, int Writers, int Seed, TimeSpan Longest, IReadOnlyList<string> Faults);

/// <summary>One drill from first start to verdict. Whatever goes wrong, everything it started is ended.</summary>
static class Drill
{
    /// <returns>0 only if nothing was lost, nothing doubled, every submission was answered in the end, and the audit found nothing.</returns>
    public static async Task<int> Run(Plan plan, CancellationToken ct)
    {
        if (await DrillFolder.Open(plan.Data) is not { } folder) return 2;
        return await folder.Within(plan.Longest, async limited =>
        {
            Verdict verdict;
            await using (House house = new(plan.Server, folder.Data)) verdict = await Run(plan, house, limited);
            Console.WriteLine(verdict.Line);
            return verdict.IsGood;
        }, ct);
    }

    static async Task<Verdict> Run(Plan plan, House house, CancellationToken ct)
    {
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"seed {plan.Seed}, {plan.Writers} writers, {house.Data}"));
        await house.Start(ct);
        Acknowledged acknowledged = new();
        using var writing = CancellationTokenSource.CreateLinkedTokenSource(ct);
        // Whoever acts on bats acts for a party, and the first party is there only once somebody recorded it.
        var party = await Writer.Party(new(house, await house.Account("drill-keeper", "Keeper", null, ct)), acknowledged, ct);
        Doorway door = new(house, await house.Account("drill-registrar", "Registrar", party, ct));
        var shared = await Writer.Bat(door, acknowledged, party, "drill-shared-bat", ct);
        // To the end of the act in hand, also when told to stop: what was sent is asked for until it is answered.
        var writers = Enumerable.Range(0, plan.Writers).Select(i => Task.Run(() => new Writer(i, plan.Seed, door, acknowledged, party, shared).Run(writing.Token, ct), ct)).ToList();
        try
        {
            await Strike(plan, house, acknowledged, writers, ct);
        }
        finally
        {
            await writing.CancelAsync();
        }
        await Task.WhenAll(writers);
        await house.Quiet(ct);
        var compared = await Comparison.Make(house, door, acknowledged, ct);
        await house.Stop(ct);
        return new(plan.Kills, compared, await house.Audit(ct));
    }

    static async Task Strike(Plan plan, House house, Acknowledged acknowledged, List<Task> writers, CancellationToken ct)
    {
        Random random = new(plan.Seed);
        Dictionary<string, int> struck = new(StringComparer.Ordinal);
        var since = Stopwatch.StartNew();
        for (var kill = 1; kill <= plan.Kills; kill++)
        {
            // Under load: something is acknowledged between any two faults.
            var before = acknowledged.Count;
            while (acknowledged.Count == before)
            {
                if (writers.FirstOrDefault(w => w.IsFaulted) is { } broken) await broken;
                await Task.Delay(20, ct);
            }
            await Task.Delay(random.Next(1200), ct);
            var name = plan.Faults[random.Next(plan.Faults.Count)];
            struck[name] = struck.GetValueOrDefault(name) + 1;
            await Fault.All[name](house, random, ct);
            await house.Healthy(ct);
            if (kill % 10 == 0 || kill == plan.Kills)
                Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{kill} faults, {acknowledged.Count} acts acknowledged, {since.Elapsed.TotalSeconds:0} s"));
        }
        Console.WriteLine(string.Join(", ", struck.OrderBy(s => s.Key, StringComparer.Ordinal).Select(s => $"{s.Key} {s.Value.ToString(CultureInfo.InvariantCulture)}")));
    }
}

/// <summary>The drill cannot go on, or saw what must not be.</summary>
sealed class DrillFault(string sentence, Exception? inner = null) : Exception(sentence, inner);
