using System.Collections.Concurrent;
using System.Globalization;

namespace Custody.Drills;

/// <summary>A submission that was answered.</summary>
sealed record Done(string Path, string Body, string Key, IReadOnlyList<Told> Told);

/// <summary>Everything that was acknowledged to anybody.</summary>
sealed class Acknowledged
{
    readonly ConcurrentQueue<Done> done = [];

    public int Count => done.Count;
    public IReadOnlyCollection<Done> All => done;

    public void Add(Done one) => done.Enqueue(one);
}

/// <summary>A client that records one act after the other: bats of its own, and one that all share, so that conflicts come too.</summary>
/// <param name="party">For whom all of them act.</param>
sealed class Writer(int number, int seed, Doorway door, Acknowledged acknowledged, string party, string shared)
{
    // "party/" and 26 characters for 0: who is recorded first speaks for themselves.
    static readonly string Nobody = "party/" + new string('0', 26);

    readonly Random random = new(unchecked((seed * 397) ^ number));
    int sent;

    /// <param name="stopping">No further act is begun.</param>
    /// <param name="ct">The act in hand is given up too.</param>
    public async Task Run(CancellationToken stopping, CancellationToken ct)
    {
        List<string> bats = [];
        while (!stopping.IsCancellationRequested)
        {
            if (bats.Count == 0 || random.Next(25) == 0) bats.Add(await Bat(door, acknowledged, party, Key(), ct));
            else await Move(random.Next(8) == 0 ? shared : bats[random.Next(bats.Count)], ct);
        }
    }

    string Key() => string.Create(CultureInfo.InvariantCulture, $"drill-{seed}-{number}-{++sent}");

    Task<IReadOnlyList<Told>> Move(string bat, CancellationToken ct) => Probe(door, acknowledged, party, bat, Key(), ct);

    /// <summary>One act of its own, for whoever waits for it.</summary>
    public static Task<IReadOnlyList<Told>> Probe(Doorway door, Acknowledged acknowledged, string party, string bat, string key, CancellationToken ct) =>
        Act(door, acknowledged, $"/api/bats/{bat["bat/".Length..]}/move-bat", $$"""{"by":"{{party}}","reason":"storage","toPlace":"rack {{key}}"}""", key, ct);

    /// <summary>Records the party that all act for.</summary>
    public static async Task<string> Party(Doorway door, Acknowledged acknowledged, CancellationToken ct) =>
        (await Act(door, acknowledged, "/api/parties", $$"""{"by":"{{Nobody}}","kind":"house","name":"House of the drill"}""", "drill-party", ct))[0].Stream;

    /// <summary>Takes in a bat.</summary>
    public static async Task<string> Bat(Doorway door, Acknowledged acknowledged, string owner, string key, CancellationToken ct) =>
        (await Act(door, acknowledged, "/api/bats",
            $$"""
            {"by":"{{owner}}","arrival":"broughtIn","presentedBy":"{{owner}}","custodian":"{{owner}}","custodyBasis":"holdersWord",
             "title":[{"party":"{{owner}}","share":{"parts":1,"of":1} }],"titleBasis":"holdersWord","description":"a bat of the drill"}
            """, key, ct))[0].Stream;

    static async Task<IReadOnlyList<Told>> Act(Doorway door, Acknowledged acknowledged, string path, string body, string key, CancellationToken ct)
    {
        var told = await door.Submit(path, body, key, ct);
        acknowledged.Add(new(path, body, key, told));
        return told;
    }
}
