using System.Diagnostics;
using System.Globalization;
using Npgsql;

namespace Custody.Drills;

/// <summary>Strikes one node after another and measures how soon the others go on with everything: answer, sequence and publish, index for search.</summary>
sealed class Strike(IReadOnlyList<House> nodes, Random random, Acknowledged acknowledged, Doorway door, string party, string bat)
{
    static readonly TimeSpan Patience = TimeSpan.FromSeconds(60);

    /// <summary>How long a frozen node stands: longer than anybody waits for it.</summary>
    static readonly TimeSpan Frozen = TimeSpan.FromSeconds(30);

    /// <summary>The longest until the others had gone on after a kill.</summary>
    public TimeSpan Longest { get; private set; }

    public async Task Once(int number, CancellationToken ct)
    {
        // Under load.
        for (var before = acknowledged.Count; acknowledged.Count == before;) await Task.Delay(20, ct);
        await Task.Delay(random.Next(1000), ct);
        // Every second time the node that sequences, whichever it is.
        var victim = (number % 2 == 1 ? await Leading(ct) : null) ?? nodes[random.Next(nodes.Count)];
        // Every fifth is frozen instead, and goes on later where it was: its locks in the database must have been taken from it. Search may wait for it: whoever leads
        // Wolverine's nodes gives that up with its life only.
        if (number % 5 == 0)
        {
            await victim.Freeze(ct);
            try
            {
                await Measured(number, "frozen", search: false, ct);
                await Task.Delay(Frozen, ct);
            }
            finally
            {
                await victim.Thaw(CancellationToken.None);
            }
            await victim.Healthy(ct);
            return;
        }
        await victim.Kill();
        Longest = await Measured(number, "killed", search: true, ct) is var took && took > Longest ? took : Longest;
        await victim.Start(ct);
    }

    async Task<TimeSpan> Measured(int number, string how, bool search, CancellationToken ct)
    {
        var since = Stopwatch.StartNew();
        var told = (await Writer.Probe(door, acknowledged, party, bat, string.Create(CultureInfo.InvariantCulture, $"strike-{number}"), ct))[0];
        var answered = since.Elapsed;
        await using var connection = await nodes[0].Cluster.Open("custody", ct);
        await Until(connection, told, "exists (select from custody.custody_checkpoint c where c.size > l.index)", since, ct);
        var published = since.Elapsed;
        if (search) await Until(connection, told, "(select size from custody.custody_search_progress) > l.index", since, ct);
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture,
            $"{number} {how}: answered after {answered.TotalSeconds:0.0} s, published {published.TotalSeconds:0.0} s{(search ? $", found by search {since.Elapsed.TotalSeconds:0.0} s" : "")}; {acknowledged.Count} acts acknowledged"));
        return since.Elapsed;
    }

    static async Task Until(NpgsqlConnection connection, Told told, string condition, Stopwatch since, CancellationToken ct)
    {
        while (since.Elapsed < Patience)
        {
            await using NpgsqlCommand command = new($"select coalesce((select {condition} from custody.custody_leaf l where l.stream = $1 and l.n = $2), false)", connection);
            command.Parameters.Add(new() { Value = told.Stream });
            command.Parameters.Add(new() { Value = told.N });
            if ((bool)(await command.ExecuteScalarAsync(ct))!) return;
            await Task.Delay(50, ct);
        }
        throw new DrillFault($"The others had not gone on after {Patience.TotalSeconds:0} seconds: {condition}.");
    }

    async Task<House?> Leading(CancellationToken ct)
    {
        foreach (var node in nodes)
            if (node.Runs && (await node.Health(ct))?.Contains("\"sequencer\":\"leading\"", StringComparison.Ordinal) == true) return node;
        return null;
    }
}
