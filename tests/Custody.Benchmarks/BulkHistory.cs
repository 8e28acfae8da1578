using Custody.Bats;
using Custody.Ledger;

namespace Custody.Benchmarks;

/// <summary>One entry of the long history.</summary>
readonly record struct BulkEntry(StreamName Stream, long N, byte[] Bytes);

/// <summary>A long history of valid entries without a database: some hundred bats under way at a time, each visited now and then for a few acts,
/// about forty entries in a life. The same seed gives the same order.</summary>
sealed class BulkHistory(string ledger, Acts acts, int firstNumber)
{
    const int UnderWay = 300;

    readonly Random random = new(20240301);
    readonly Dictionary<PartyId, KnownParty> strangers = new()
    {
        [acts.Owner] = new KnownParty(null, "Ottilie Marsh"),
        [acts.House] = new KnownParty(null, "Marsh Lane Auctions"),
    };
    readonly Dictionary<PartyId, KnownParty> known = new()
    {
        [acts.Owner] = new KnownParty(new Alias(1), ""),
        [acts.House] = new KnownParty(new Alias(2), ""),
    };

    /// <summary>Names and lengths of the bats, summing to <paramref name="events"/>.</summary>
    public List<(StreamName Stream, int Length)> Lives(int events)
    {
        List<(StreamName, int)> lives = [];
        for (var left = events; left > 0; left -= lives[^1].Item2) lives.Add((Writers.Fresh("bat"), Math.Min(left, random.Next(20, 61))));
        return lives;
    }

    /// <summary>Every entry, in the order of recording.</summary>
    public IEnumerable<BulkEntry> Entries(List<(StreamName Stream, int Length)> lives)
    {
        var begun = 0;
        List<(Bat State, StreamName Stream, int Length)> open = [];
        var now = new DateTimeOffset(2024, 3, 2, 9, 0, 0, TimeSpan.Zero);
        while (begun < lives.Count || open.Count > 0)
        {
            while (open.Count < UnderWay && begun < lives.Count) open.Add((new Bat(), lives[begun].Stream, lives[begun++].Length));
            var pick = random.Next(open.Count);
            var (bat, stream, length) = open[pick];
            for (var visit = random.Next(1, 6); visit > 0 && bat.N < length; visit--)
            {
                now = now.AddSeconds(1);
                yield return Take(ref bat, stream, firstNumber + (int)(bat.N == 0 ? Begun() : 0), now);
            }
            open[pick] = (bat, stream, length);
            if (bat.N < length) continue;
            open[pick] = open[^1];
            open.RemoveAt(open.Count - 1);
        }
    }

    int registered;

    int Begun() => registered++;

    BulkEntry Take(ref Bat bat, StreamName stream, int number, DateTimeOffset now)
    {
        BatCommand command = bat.N == 0 ? acts.Register(Numbers.Short(number)) : acts.Next(bat.N + 1);
        var people = new Introductions(bat.N < 2 ? Those(bat.People.Count) : known, bat.People.Count);
        var fact = command.Produce(bat, people)[0];
        var by = people.Of(command.By, Role.Other);
        var at = new Envelope(ledger, Decisions.LatestRules, stream, bat.N + 1, bat.Head, now, command.Occurred, by);
        fact = (Fact<Bat>)(fact with { Parties = people.Introduced });
        var written = EntryCodec.Write(at, fact, random.NextBytes);
        var entry = new Entry(at, fact, written.Hash);
        if (Decisions.Permit(bat, entry, Nothing.Cited) is [var refusal, ..]) throw new InvalidOperationException(refusal.Sentence);
        bat = bat.Fold(entry);
        return new(stream, entry.N, written.Bytes);
    }

    Dictionary<PartyId, KnownParty> Those(int introduced) =>
        introduced == 0 ? strangers : new() { [acts.Owner] = known[acts.Owner], [acts.House] = strangers[acts.House] };
}
