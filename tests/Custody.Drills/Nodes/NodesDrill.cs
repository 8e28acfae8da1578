using System.Diagnostics;
using System.Globalization;

namespace Custody.Drills;

/// <summary>Several nodes over one database, from first start to verdict.</summary>
static class NodesDrill
{
    /// <returns>0 only if nothing was lost or doubled, the audit found nothing, and the others always went on soon enough.</returns>
    public static async Task<int> Run(NodesPlan plan, CancellationToken ct)
    {
        if (await DrillFolder.Open(plan.Data) is not { } folder) return 2;
        return await folder.Within(plan.Longest, async limited =>
        {
            List<House> nodes = [.. Enumerable.Range(0, plan.Nodes).Select(i => Node(i % 2 == 1 && plan.Old is { } old ? old : plan.Server, folder.Data, i, "node"))];
            try
            {
                return await Run(plan, nodes, limited);
            }
            finally
            {
                foreach (var node in nodes) await node.DisposeAsync();
            }
        }, ct);
    }

    static House Node(string server, string data, int number, string name) => new(server, data, string.Create(CultureInfo.InvariantCulture, $"{name}-{number + 1}"));

    static async Task<bool> Run(NodesPlan plan, List<House> nodes, CancellationToken ct)
    {
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"seed {plan.Seed}, {plan.Nodes} nodes, {plan.Writers} writers, {nodes[0].Data}"));
        // All at once on an empty folder: tables, keys and the first leaf are made once all the same.
        foreach (var node in nodes) node.Launch();
        foreach (var node in nodes) await node.Healthy(ct);
        Acknowledged acknowledged = new();
        var party = await Writer.Party(new(nodes, await nodes[0].Account("drill-keeper", "Keeper", null, ct)), acknowledged, ct);
        var token = await nodes[0].Account("drill-registrar", "Registrar", party, ct);
        Doorway door = new(nodes, token);
        var shared = await Writer.Bat(door, acknowledged, party, "drill-shared-bat", ct);
        await SessionAcross.Check(nodes, ct);
        Console.WriteLine("A session begun on one node held on every other, and so did a form.");
        Strike strike = new(nodes, new Random(plan.Seed), acknowledged, door, party, shared);
        using var writing = CancellationTokenSource.CreateLinkedTokenSource(ct);
        var writers = Enumerable.Range(0, plan.Writers).Select(i => Task.Run(() => new Writer(i, plan.Seed, door, acknowledged, party, shared).Run(writing.Token, ct), ct)).ToList();
        try
        {
            if (plan.Old is not null) await Replace(plan, nodes, acknowledged, ct);
            for (var kill = 1; kill <= plan.Kills; kill++)
            {
                if (writers.FirstOrDefault(w => w.IsFaulted) is { } broken) await broken;
                await strike.Once(kill, ct);
            }
        }
        finally
        {
            await writing.CancelAsync();
        }
        await Task.WhenAll(writers);
        await nodes[0].Quiet(ct);
        await OneLeads(nodes, ct);
        var compared = await Comparison.Make(nodes[0], new Doorway(nodes, token), acknowledged, ct);
        foreach (var node in nodes) await node.Stop(ct);
        var clean = await nodes[0].Audit(ct);
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture,
            $"nodes={plan.Nodes} kills={plan.Kills} acknowledged={compared.Acts} lost={compared.Lost} doubled={compared.Doubled} longest={strike.Longest.TotalSeconds:0.0}s audit={(clean ? "clean" : "faults")}"));
        return compared is { Lost: 0, Doubled: 0 } && clean && strike.Longest < plan.Within;
    }

    /// <summary>A rolling upgrade: old and new side by side, then every old one stopped and a new one in its place, at the same address.</summary>
    static async Task Replace(NodesPlan plan, List<House> nodes, Acknowledged acknowledged, CancellationToken ct)
    {
        for (var i = 0; i < nodes.Count; i++)
        {
            // Both kinds record for a while.
            for (var (before, since) = (acknowledged.Count, Stopwatch.StartNew()); acknowledged.Count < before + 100 && since.Elapsed < TimeSpan.FromSeconds(30);) await Task.Delay(50, ct);
            await nodes[i].Stop(ct);
            nodes[i].Becomes(plan.Server);
            await nodes[i].Start(ct);
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"node {i + 1} replaced, {acknowledged.Count} acts acknowledged"));
        }
    }

    static async Task OneLeads(List<House> nodes, CancellationToken ct)
    {
        List<string?> said = [];
        foreach (var node in nodes) said.Add(await node.Health(ct));
        if (said.Count(s => s?.Contains("\"sequencer\":\"leading\"", StringComparison.Ordinal) == true) != 1) throw new DrillFault("Not exactly one node says that it sequences: " + string.Join(' ', said));
    }
}
