using System.Collections.Concurrent;
using System.Diagnostics;
using System.Security.Cryptography;
using Custody.Bats;
using Custody.Server.Recording;
using Custody.Transparency;

namespace Custody.Benchmarks;

/// <summary>Acts per second through the full path, as a share of what the hand-written transaction does in the same minute.</summary>
static class Appending
{
    const double Goal = 0.5;

    public static async Task Measure(Bench bench, Plan plan, Figures figures, CancellationToken ct)
    {
        var writers = await Writers.Register(bench, plan.Bats, ct);
        bench.Set(writers);
        await HandWritten.Prepare(bench, ct);
        var byHand = new HandWritten(bench.Database, bench.Place.Origin, writers.Acts);
        // Both begin at the same entries, so both have numbers of their own from there on.
        var next = Enumerable.Repeat(Writers.FirstNext, plan.Bats).ToArray();
        Task Full(int bat) => writers.Record(bat, ct);
        Task Hand(int bat) => byHand.Record(writers.Bats[bat], writers.Acts.Next(next[bat]++), ct);
        Task Bare(int bat) => byHand.Insert(ct);
        foreach (var count in new[] { 1, 8 })
        {
            await Rate(Bare, count, plan.Bats, plan.Warmup);
            await Rate(Full, count, plan.Bats, plan.Warmup);
            await Rate(Hand, count, plan.Bats, plan.Warmup);
            List<double> full = [], hand = [], bare = [];
            for (var round = 0; round < plan.Rounds; round++)
            {
                // Whoever comes second may find the disk busier: the order turns with each round.
                if (round % 2 == 0) full.Add(await Rate(Full, count, plan.Bats, plan.Window));
                hand.Add(await Rate(Hand, count, plan.Bats, plan.Window));
                bare.Add(await Rate(Bare, count, plan.Bats, plan.Window));
                if (round % 2 == 1) full.Add(await Rate(Full, count, plan.Bats, plan.Window));
            }
            figures.Note($"append_{count}w_acts_per_s", Median(full), "acts/s");
            figures.Note($"sql_{count}w_acts_per_s", Median(hand), "acts/s");
            figures.AtLeast($"append_{count}w_vs_sql", Median(full) / Median(hand), "of SQL", Goal);
            figures.Note($"insert_{count}w_per_s", Median(bare), "rows/s");
            figures.Note($"append_{count}w_vs_insert", Median(full) / Median(bare), "of bare INSERT");
        }
    }

    /// <summary>Acts per second of so many writers, each on bats of its own, for so long.</summary>
    public static async Task<double> Rate(Func<int, Task> act, int writers, int bats, TimeSpan window)
    {
        var clock = Stopwatch.StartNew();
        var done = await Task.WhenAll(Enumerable.Range(0, writers).Select(first => Task.Run(async () =>
        {
            long acts = 0;
            for (var bat = first; clock.Elapsed < window; bat = bat + writers < bats ? bat + writers : first, acts++) await act(bat);
            return acts;
        })));
        return done.Sum() / clock.Elapsed.TotalSeconds;
    }

    static double Median(List<double> values)
    {
        values.Sort();
        return (values[(values.Count - 1) / 2] + values[values.Count / 2]) / 2;
    }
}

/// <summary>Registered bats that writers go on with through the full path.</summary>
sealed class Writers(Recorder recorder, Acts acts, StreamName[] bats)
{
    readonly long[] next = [.. bats.Select(_ => FirstNext)];

    public Acts Acts { get; } = acts;
    public IReadOnlyList<StreamName> Bats { get; } = bats;

    /// <summary>Number of the first entry that is measured: by then both parties are introduced on every bat.</summary>
    public const long FirstNext = 3;

    /// <summary>When set: every entry, with the tick at which its writer knew it was committed.</summary>
    public ConcurrentQueue<(StreamName Bat, long N, long At)>? Journal { get; set; }

    public static Task<Writers> Register(Bench bench, int count, CancellationToken ct) => Register(bench.Recorder, count, ct);

    public static async Task<Writers> Register(Recorder recorder, int count, CancellationToken ct)
    {
        Acts acts = new(await Party(recorder, "Ottilie Marsh", ct), await Party(recorder, "Marsh Lane Auctions", ct));
        StreamName[] bats = [.. Enumerable.Range(0, count).Select(_ => Fresh("bat"))];
        await Parallel.ForAsync(0, count, new ParallelOptions { MaxDegreeOfParallelism = 8, CancellationToken = ct }, async (i, token) =>
        {
            Expect(await recorder.Record(bats[i], acts.Register(Numbers.Short(i)), new Request(), token));
            Expect(await recorder.Record(bats[i], acts.Next(2), new Request(), token));
        });
        return new Writers(recorder, acts, bats);
    }

    /// <summary>The bat's next act. One writer at a time for each bat.</summary>
    public async Task Record(int bat, CancellationToken ct)
    {
        Expect(await recorder.Record(Bats[bat], Acts.Next(next[bat]), new Request(), ct));
        Journal?.Enqueue((Bats[bat], next[bat], Stopwatch.GetTimestamp()));
        next[bat]++;
    }

    static async Task<PartyId> Party(Recorder recorder, string name, CancellationToken ct)
    {
        var party = new PartyId(Fresh("party"));
        Expect(await recorder.Record(party.Stream, new RecordParty(PartyKind.Person, name, null, null, null, null) { By = party }, new Request(), ct));
        return party;
    }

    public static StreamName Fresh(string kind) => StreamName.Parse($"{kind}/{Crockford.Encode(RandomNumberGenerator.GetBytes(16))}");

    static void Expect(Outcome outcome)
    {
        if (outcome is not Recorded) throw new InvalidOperationException(outcome is Refused refused ? refused.Refusals[0].ToString() : outcome.ToString());
    }
}

static class Numbers
{
    const string Letters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

    /// <summary>A short number of its own for each bat: seven characters and the check character.</summary>
    public static string Short(int bat)
    {
        var text = string.Create(7, bat, (span, value) =>
        {
            for (var i = span.Length - 1; i >= 0; i--, value >>= 5) span[i] = Letters[value & 31];
        });
        return text + CheckCharacter.Compute(text);
    }
}
