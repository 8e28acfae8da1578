using System.Globalization;
using FsCheck;
using FsCheck.Fluent;
using Xunit.Sdk;

namespace Custody.Bats.Tests.Histories;

/// <summary>Random histories, legal and illegal acts mixed: whatever the rules let through keeps title, custody and holds right.</summary>
public class HistoryTests
{
    /// <summary>Longest history tried, in acts tried; about a third are permitted.</summary>
    const int Longest = 60;

    static readonly Entry Sale = Trade.Sale();

    /// <summary>So many histories: a few thousand each time the tests run, and as many as one likes by setting CUSTODY_HISTORIES.</summary>
    static int Histories => int.Parse(Environment.GetEnvironmentVariable("CUSTODY_HISTORIES") ?? "2000", CultureInfo.InvariantCulture);

    static readonly Gen<Drawn> Draw =
        Gen.Choose(0, RandomActs.Count - 1).SelectMany(act => Gen.Choose(0, 9999).Three().SelectMany(n => Gen.Choose(0, 3).Select(fit => new Drawn(act, n.Item1, n.Item2, n.Item3, fit > 0))));

    // A failing history is told again with less, until every act left in it is needed.
    static readonly Arbitrary<Drawn[]> Told = Arb.From(
        Gen.Choose(1, Longest).SelectMany(length => Draw.ArrayOf(length)), drawn => Enumerable.Range(0, drawn.Length).Select(i => drawn.Where((_, at) => at != i).ToArray()));

    [Fact]
    public void Whatever_is_permitted_keeps_title_custody_and_holds_right()
    {
        var (permitted, refused) = (0L, 0L);
        HashSet<string> kinds = [];
        Check.One(Config.QuickThrowOnFailure.WithMaxTest(Histories).WithReplay(20310402, 9151), Prop.ForAll(Told, drawn =>
        {
            var story = Tell(drawn);
            (permitted, refused) = (permitted + story.Entries.Count, refused + story.Refused);
            foreach (var entry in story.Entries) kinds.Add(entry.Fact.TypeName);
        }));
        // The tries reach what they are meant to try: every act is both permitted and refused often.
        Assert.True(permitted > 5L * Histories, $"{permitted} permitted");
        Assert.True(refused > 5L * Histories, $"{refused} refused");
        Assert.True(kinds.Count >= 27, string.Join(", ", kinds.Order(StringComparer.Ordinal)));
    }

    static (IReadOnlyList<Entry> Entries, int Refused) Tell(Drawn[] drawn)
    {
        Telling telling = new(Sale);
        Referee referee = new();
        List<Bat> states = [];
        var refusals = 0;
        Step(Trade.Registered());
        foreach (var one in drawn) Step(RandomActs.Of(telling, one));
        // Read again from what was recorded, each state comes out as it was then.
        var history = History.Of(telling.Entries);
        var again = history.AsCorrected().State.Title;
        Assert.Equal((telling.State.Title.Standing, telling.State.Title.Since), (again.Standing, again.Since));
        Assert.Equal(telling.State.Title.Shares, again.Shares.AsEnumerable());
        var middle = states[states.Count / 2];
        var then = history.AsRecorded(middle.Recorded).State;
        Assert.Equal((middle.N, middle.Keeping.Custodian, middle.Keeping.InTransit), (then.N, then.Keeping.Custodian, then.Keeping.InTransit));
        return (telling.Entries, refusals);

        void Step(BatCommand command)
        {
            var before = telling.State;
            var (made, refused) = telling.Try(command);
            if (made.Count == 0)
            {
                refusals++;
                Assert.Same(before, telling.State);
                Assert.All(refused, r => Assert.True(r is { Code.Length: > 0, Sentence.Length: > 0, Remedy.Length: > 0 }, r.ToString()));
                return;
            }
            for (var i = 0; i < made.Count; i++)
            {
                var after = i + 1 < made.Count ? made[i + 1].Before : telling.State;
                if (referee.Judge(made[i].Entry, after).FirstOrDefault() is { } fault) throw new XunitException($"{made[i].Entry.Fact.TypeName} (entry {made[i].Entry.N}): {fault}");
                states.Add(after);
            }
        }
    }
}
