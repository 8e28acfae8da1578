namespace Custody.Drills;

/// <summary>What can befall the house. Each ends only processes that the drill's own server started, by their numbers.</summary>
static class Fault
{
    public static readonly IReadOnlyDictionary<string, Func<House, Random, CancellationToken, Task>> All =
        new Dictionary<string, Func<House, Random, CancellationToken, Task>>(StringComparer.Ordinal)
        {
            ["server"] = async (house, random, ct) =>
            {
                await house.Kill();
                await Task.Delay(random.Next(300), ct);
                await house.Start(ct);
            },
            // The server notices by itself and starts it again.
            ["postgres"] = (house, _, _) => house.Cluster.KillPostmaster(),
            ["both"] = async (house, random, ct) =>
            {
                if (random.Next(2) == 0)
                {
                    await house.Cluster.KillPostmaster();
                    await house.Kill();
                }
                else
                {
                    await house.Kill();
                    await house.Cluster.KillPostmaster();
                }
                await house.Start(ct);
            },
            // Whoever sequences loses its connection, between any two of its steps.
            ["sequencer"] = (house, _, ct) => house.Cluster.Cut("pid in (select pid from pg_locks where locktype = 'advisory' and granted)", ct),
            // Everybody loses theirs, in the middle of whatever they do: also between a commit and its answer.
            ["connections"] = (house, _, ct) => house.Cluster.Cut("usename = 'custody'", ct),
            // A read model is made again, and whoever makes it is killed on the way.
            ["rebuild"] = (house, random, ct) => house.Broken(["rebuild"], random, ct),
            // The log's key is being changed, which only whoever leads the log can do, and whoever changes it is killed on the way.
            ["key"] = async (house, random, ct) =>
            {
                await house.Kill();
                await house.Broken(["key", "change"], random, ct);
                await house.Start(ct);
            },
            // A dossier is being written, and its writer is killed on the way.
            ["dossier"] = async (house, random, ct) => await house.Broken(["dossier", await house.Cluster.SomeBat(random, ct), "--out", house.Data + "-out"], random, ct),
        };

    /// <summary>How often each strikes when nothing else is asked for.</summary>
    public static readonly IReadOnlyList<string> Usual = ["server", "server", "postgres", "postgres", "both", "sequencer", "connections", "rebuild", "key", "dossier"];
}
