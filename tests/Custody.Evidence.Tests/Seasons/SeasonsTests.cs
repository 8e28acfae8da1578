using FsCheck;
using FsCheck.Fluent;

namespace Custody.Evidence.Tests.Seasons;

public class SeasonsTests
{
    static DatingFact Fact(string id, BatMoment moment, params string[] within) => new(id, moment, [.. within.Select(Edtf.Parse)], false, false, "a test");

    static FeasibleSeasons Find(params DatingFact[] facts) => Find(facts, []);

    static FeasibleSeasons Find(DatingFact[] facts, UsualLag[] lags) =>
        Evidence.Seasons.TryFind(facts, lags, out var seasons, out var refusal) ? seasons : throw new InvalidOperationException(refusal.Code);

    static string Text(IEnumerable<FeasibleRun> runs) => string.Join(' ', runs.Select(r => $"{r.First}-{r.Last}"));

    static string Text(ConflictList conflicts) => string.Join(' ', conflicts.Sets.Select(s => string.Join('+', s)));

    [Fact]
    public void Without_facts_every_season_is_feasible() => Assert.Equal("-", Text(Find().BatAlone.Hard));

    [Fact]
    public void A_makers_mark_bounds_making_and_not_use()
    {
        var run = Assert.Single(Find(Fact("mark", BatMoment.Made, "1950/1955")).BatAlone.Hard);
        Assert.Equal((1950L, (long?)null), (run.First, run.Last));
        Assert.Equal("mark", Text(run.FirstBoundBy));
    }

    [Fact]
    public void Last_use_ends_the_seasons_and_several_stints_leave_several_runs()
    {
        var view = Find(Fact("mark", BatMoment.Made, "1950/1955"), Fact("broken", BatMoment.LastUse, "1961-07"),
            Fact("stints", BatMoment.Used, "1948/1952", "1957/1958", "1960/..")).BatAlone;
        Assert.Equal("1950-1952 1957-1958 1960-1961", Text(view.Hard));
        Assert.Equal(["mark", "stints", "stints", "stints", "stints", "broken"],
            view.Hard.SelectMany(r => new[] { Text(r.FirstBoundBy), Text(r.LastBoundBy) }));
    }

    [Fact]
    public void Facts_about_the_player_count_only_under_the_proposition_that_he_used_it()
    {
        var tenure = Fact("tenure", BatMoment.Used, "1957/1959") with { IsAboutPlayer = true };
        var found = Find(Fact("mark", BatMoment.Made, "1950/1955"), tenure);
        Assert.Equal("1950-", Text(found.BatAlone.Hard));
        Assert.Equal("1957-1959", Text(found.UnderPlayer.Hard));
        Assert.Equal(["mark"], found.BatAlone.Spent);
        Assert.Equal(["mark", "tenure"], found.UnderPlayer.Spent);
    }

    [Fact]
    public void Two_facts_that_bind_one_end_alone_are_both_named_and_two_that_bind_it_together_as_one_set()
    {
        var twice = Find(Fact("mark", BatMoment.Made, "1950/.."), Fact("order", BatMoment.Ordered, "1950")).BatAlone.Hard;
        Assert.Equal("mark order", Text(twice.Single().FirstBoundBy));
        var jointly = Find(Fact("a", BatMoment.Used, "1950/1952", "1955"), Fact("b", BatMoment.Used, "1951/1955")).BatAlone.Hard;
        Assert.Equal(["b", "a"], new[] { Text(jointly[0].FirstBoundBy), Text(jointly[0].LastBoundBy) });
    }

    [Fact]
    public void A_usual_lag_narrows_the_usual_seasons_and_never_the_hard_ones()
    {
        var view = Find([Fact("made", BatMoment.Made, "1950-03"), Fact("shipped", BatMoment.Shipped, "1950-05-02")],
            [new UsualLag("lag", BatMoment.Shipped, BatMoment.FirstUse, 0, 365, "common practice"), new UsualLag("life", BatMoment.FirstUse, BatMoment.Used, 0, 300, "common practice")]).BatAlone;
        Assert.Equal("1950-", Text(view.Hard));
        Assert.Equal("1950-1952", Text(view.Usual)); // 1950-05-02 + 665 days = 1952-02-26
        Assert.Equal("shipped+lag+life", Text(view.Usual[0].LastBoundBy));
    }

    [Fact]
    public void A_usual_fact_that_contradicts_hard_ones_is_said_and_leaves_the_hard_result()
    {
        var view = Find(Fact("mark", BatMoment.Made, "1955"), Fact("style", BatMoment.Used, "1948/1952") with { IsUsual = true }).BatAlone;
        Assert.Equal("1955-", Text(view.Hard));
        Assert.Empty(view.Usual);
        Assert.Empty(view.Conflicts.Sets);
        Assert.Equal("mark+style", Text(view.UsualConflicts));
    }

    [Fact]
    public void A_bat_marked_before_it_can_have_been_made_conflicts() =>
        Assert.Equal("mark+number", Text(Find(Fact("mark", BatMoment.Made, "1955/.."), Fact("number", BatMoment.Marked, "1950/1952")).BatAlone.Conflicts));

    [Fact]
    public void Order_within_one_season_is_kept_by_the_day()
    {
        Assert.Empty(Find(Fact("shipped", BatMoment.Shipped, "1952-08"), Fact("game", BatMoment.Used, "1952-07-31")).BatAlone.Hard);
        Assert.Equal("1952-1952", Text(Find(Fact("shipped", BatMoment.Shipped, "1952-08"), Fact("game", BatMoment.Used, "1952-08-01")).BatAlone.Hard));
    }

    [Fact]
    public void With_several_stints_three_facts_can_conflict_though_each_two_agree()
    {
        var view = Find(Fact("a", BatMoment.Used, "1950", "1951"), Fact("b", BatMoment.Used, "1951", "1952"), Fact("c", BatMoment.Used, "1950", "1952")).BatAlone;
        Assert.Equal("a+b+c", Text(view.Conflicts));
    }

    [Fact]
    public void Dates_marked_uncertain_are_said_to_be()
    {
        Assert.False(Find(Fact("mark", BatMoment.Made, "1950")).BatAlone.RestsOnQualified);
        Assert.True(Find(Fact("mark", BatMoment.Made, "1950~")).BatAlone.RestsOnQualified);
    }

    [Fact]
    public void Bad_input_is_refused_by_name()
    {
        var good = Fact("mark", BatMoment.Made, "1950");
        UsualLag Lag(BatMoment from, BatMoment to, long least, long most) => new("lag", from, to, least, most, "a test");
        Assert.Equal("seasons-fact-twice", Refusal([good, good], []));
        Assert.Equal("seasons-fact-empty", Refusal([Fact("mark", BatMoment.Made)], []));
        Assert.Equal("seasons-lag", Refusal([], [Lag(BatMoment.Made, BatMoment.Used, 0, 1)]));
        Assert.Equal("seasons-lag", Refusal([], [Lag(BatMoment.Shipped, BatMoment.Made, 0, 1)]));
        Assert.Equal("seasons-lag", Refusal([], [Lag(BatMoment.Made, BatMoment.Shipped, -1, 1)]));
        Assert.Equal("seasons-lag", Refusal([], [Lag(BatMoment.Made, BatMoment.Shipped, 2, 1)]));
        Assert.Equal("seasons-lag", Refusal([], [Lag(BatMoment.Made, BatMoment.Shipped, 0, long.MaxValue)]));
        Assert.Null(Refusal([good], [Lag(BatMoment.Made, BatMoment.Shipped, 0, 1)]));
    }

    static string? Refusal(DatingFact[] facts, UsualLag[] lags) => Evidence.Seasons.TryFind(facts, lags, out _, out var refusal) ? null : refusal.Code;

    [Fact]
    public void Very_many_conflicts_are_listed_as_far_as_found_and_said_to_be_incomplete()
    {
        var facts = Enumerable.Range(0, 30).Select(i => Fact($"f{i:00}", BatMoment.Used, $"{1900 + i}")).ToArray();
        var conflicts = Find(facts).BatAlone.Conflicts;
        Assert.False(conflicts.IsComplete);
        Assert.All(conflicts.Sets, s => Assert.Equal(2, s.Count));
    }

    // Helly's theorem on the line: of single intervals for one moment, conflicts are pairs.
    [Fact]
    public void Single_intervals_for_one_moment_conflict_in_pairs_only()
    {
        var interval = Gen.Two(Gen.Choose(1950, 1959)).Select(y => $"{Math.Min(y.Item1, y.Item2)}/{Math.Max(y.Item1, y.Item2)}");
        Check.One(Config.QuickThrowOnFailure.WithMaxTest(200), Prop.ForAll(interval.ListOf(5).ToArbitrary(), texts =>
            Find([.. texts.Select((t, i) => Fact($"f{i}", BatMoment.Used, t))]).BatAlone.Conflicts is { IsComplete: true } c && c.Sets.All(s => s.Count == 2)));
    }

    static readonly Gen<(BatMoment Moment, int Years)> Drawn =
        from moment in Gen.Elements(Enum.GetValues<BatMoment>())
        from years in Gen.Choose(1, 14)
        select (moment, years);

    [Fact]
    public void Seasons_their_bounds_and_all_conflicts_are_those_of_every_possible_life_of_the_bat() =>
        Check.One(Config.QuickThrowOnFailure.WithMaxTest(150), Prop.ForAll(Drawn.ListOf(5).ToArbitrary(), drawn =>
        {
            var facts = drawn.Select((d, i) => Fact($"f{i}", d.Moment, [.. Enumerable.Range(0, 4).Where(y => (d.Years >> y & 1) == 1).Select(y => $"{1950 + y}")])).ToArray();
            // Two more keep every life within the four years, so that counting lives by years is enough.
            var all = facts.Append(Fact("f5", BatMoment.Made, "1950/1953")).Append(Fact("f6", BatMoment.LastUse, "1950/1953")).ToArray();
            var view = Find(all).BatAlone;
            var lives = new Lives([.. drawn.Select(d => (d.Moment, d.Years)), (BatMoment.Made, 15), (BatMoment.LastUse, 15)]);
            return Text(view.Hard) == Text(lives.Seasons) && Text(view.Conflicts) == lives.Conflicts(null)
                && view.Hard.All(r => r.First == 1950 || Text(r.FirstBoundBy) == lives.Conflicts((int)r.First! - 1951))
                && view.Hard.All(r => r.Last == 1953 || Text(r.LastBoundBy) == lives.Conflicts((int)r.Last! - 1949));
        }));

    /// <summary>Every life of a bat within four years, a year per moment, with the facts it breaks as bits.</summary>
    sealed class Lives
    {
        readonly List<(int Used, int Broken)> all = [];
        readonly int facts;

        public Lives((BatMoment Moment, int Years)[] facts)
        {
            this.facts = facts.Length;
            for (var code = 0; code < 1 << 14; code++)
            {
                int At(BatMoment m) => code >> 2 * (int)m & 3;
                var ordered = At(BatMoment.Made) <= At(BatMoment.Shipped) && At(BatMoment.Ordered) <= At(BatMoment.Shipped)
                    && At(BatMoment.Shipped) <= At(BatMoment.FirstUse) && At(BatMoment.FirstUse) <= At(BatMoment.Used)
                    && At(BatMoment.Used) <= At(BatMoment.LastUse) && At(BatMoment.Made) <= At(BatMoment.Marked);
                if (ordered)
                    all.Add((At(BatMoment.Used), facts.Select((f, i) => (f.Years >> At(f.Moment) & 1) == 1 ? 0 : 1 << i).Sum()));
            }
        }

        public IEnumerable<FeasibleRun> Seasons
        {
            get
            {
                var years = all.Where(l => l.Broken == 0).Select(l => l.Used).Distinct().Order().ToList();
                var none = new ConflictList([], true);
                return years.Where(y => !years.Contains(y - 1)).Select(y => new FeasibleRun(1950 + y,
                    1950 + Enumerable.Range(y, 4).First(z => !years.Contains(z + 1)), none, none));
            }
        }

        public string Conflicts(int? season)
        {
            var broken = all.Where(l => season is null || l.Used == season).Select(l => l.Broken).Distinct().ToList();
            bool Conflict(int set) => broken.TrueForAll(b => (b & set) != 0);
            var sets = Enumerable.Range(1, (1 << facts) - 1).Where(s => Conflict(s) && Members(s).All(i => !Conflict(s & ~(1 << i))));
            return string.Join(' ', sets.Select(s => string.Join('+', Members(s).Select(i => $"f{i}"))).OrderBy(s => s.Length).ThenBy(s => s, StringComparer.Ordinal));
        }

        IEnumerable<int> Members(int set) => Enumerable.Range(0, facts).Where(i => (set >> i & 1) == 1);
    }
}
