using Custody.Evidence;
using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

/// <summary>Opinions that keep overlaps with usual zones, the fit of a list of places, and the dated facts that stated seasons were read from.</summary>
public class ZonesAndPlacesTests
{
    readonly WeighedScene scene = new();
    readonly long list;

    // The bat of the scene: tape from 1.5 to 9 in all round (f1), tar from 9 to 14.25 in over 50 degrees (f2).
    public ZonesAndPlacesTests()
    {
        scene.Habits.Given(Zone(3, 1, UsualZoneTests.Band("9", "12"), 4, 5), Zone(2, 2, UsualZoneTests.Band("20", "25"), 6), WeighedScene.Version);
        scene.Bat.Citing(scene.Habits.Entries[^3]).Citing(scene.Habits.Entries[^2]).Citing(scene.Habits.Entries[^1]).Given(
            Photograph('k', 'l', 'm', 'n'),
            new RecordBaseline(
                [new(FixedView.Knob, Picture('k')), new(FixedView.BarrelEnd, Picture('l')), new(FixedView.Brand, Picture('m')), new(FixedView.Grain, Picture('n'))],
                Inches("34"), Quantity.Parse("32", "[oz_av]"), [Girth("1", "6.3"), Girth("12", "4"), Girth("30", "8")], null, null)
            { By = House },
            new ListWhereabouts(
                2, [new(FindingKind.RackPaint, "red"), new(FindingKind.RackPaint, "green")],
                [new(Edtf.Parse("1951"), [1], "Harbour"), new(Edtf.Parse("1952"), [2], "Harbour"), new(Edtf.Parse("1950"), [1, 2], "Mill")],
                [new(1, 1, null), new(2, 2, null)], null, null, null)
            { By = Examiner });
        list = scene.Bat.State.N;
    }

    static GirthAt Girth(string at, string round) => new(Inches(at), Inches(round));

    static RecordUsualZone Zone(long characteristic, int value, SurfacePlace place, params long[] occasions) =>
        new(characteristic, value, place, occasions, null, null) { By = House };

    OpinionNumbers Numbers => OpinionNumbers.Of(
        History.Of(scene.Bat.Entries).AsCorrected(), scene.Basis with { WithZones = true, Lists = [list] }, scene.Streams);

    GiveComputedOpinion WithAll(GiveComputedOpinion opinion) => opinion with { Zones = Numbers.Zones, Places = Numbers.Places };

    OpinionGiven3 Given => (OpinionGiven3)scene.Bat.Entries[^1].Fact;

    [Fact]
    public void A_placed_finding_is_compared_with_each_usual_zone_of_its_kind()
    {
        var zones = History.Of(scene.Bat.Entries).AsCorrected().Zones(scene.Habits.Entries);
        Assert.Equal(("surface/1", 7L), (zones.Method, zones.Baseline));
        Assert.Equal([("tar", "light"), ("tape", "spiral")], zones.Zones.Select(z => (z.Title, z.ValueName)));
        // By hand: of the tar's 5.25 in, 3 lie in the band from 9 to 12; round it measures
        // 4.627 in at 9, 4 at 12, 4.5 at 14.25: 3 x 4.3136 of 3 x 4.3136 + 2.25 x 4.25.
        var tar = zones.Overlaps.Single(o => o.Key == "f2");
        Assert.Equal(("3.00", "50.0"), (tar.Shared.Inches.Text, tar.Shared.Degrees!.Text));
        Assert.Equal("57.5", tar.Shared.PercentOfFirst.Text);
        Assert.False(zones.Overlaps.Single(o => o.Key == "f1").Shared.Touch);
        Assert.Contains(BatZones.Caution, zones.Cautions);
    }

    [Fact]
    public void Without_the_bats_shape_nothing_is_compared_and_it_is_said()
    {
        var read = History.Of([.. scene.Bat.Entries.Take(5)]).AsCorrected().Zones(scene.Habits.Entries);
        Assert.Equal("shape-not-measured", read.Refused!.Code);
        Assert.Null(read.Found);
    }

    [Fact]
    public void An_opinion_keeps_the_overlaps_and_places_it_rested_on_and_they_come_out_again()
    {
        var read = scene.Recompute(scene.Give(WithAll));
        Assert.Equal("OpinionGiven.3", read.Type);
        Assert.True(read.Holds, string.Join('\n', read.Numbers.Where(n => n.Standing is NumberStanding.Differs or NumberStanding.NotComputable)));
        Assert.Equal("apart, 0.00 in along, 0.0 deg round, 0.0 % of the finding in the zone", Recorded(read, "usual zone 12, examination 2 finding f1"));
        Assert.StartsWith("3.00 in along, 50.0 deg round, ", Recorded(read, "usual zone 11, examination 2 finding f2"), StringComparison.Ordinal);
        // Tar lies over tape: red in 1951 or 1950 first, green in 1952 or 1950 after it.
        Assert.Equal("3", Recorded(read, $"list of places {list}, sequences"));
        Assert.Equal("w1, w3; 2 others fit", Recorded(read, $"list of places {list}, finding f1"));
        Assert.Contains(BatZones.Caution, read.Cautions);
        Assert.Superset(new HashSet<long> { 7, list }, scene.Bat.State.Opinions.ByEntry[scene.Bat.State.N].RestsOn.ToHashSet());
        Assert.Equal(2, Given.Cites.Count(c => scene.Habits.Entries.Any(e => e.Reference == c && e.Fact is UsualZoneRecorded)));
    }

    static string? Recorded(OpinionRecomputed read, string what) => read.Numbers.Single(n => n.What == what).Recorded;

    [Fact]
    public void An_overlap_left_out_or_changed_does_not_hold()
    {
        var one = scene.Recompute(scene.Give(o => WithAll(o) with { Zones = Numbers.Zones! with { Met = [Numbers.Zones.Met[0]] } }));
        Assert.Equal(NumberStanding.Differs, Assert.Single(one.Numbers, n => n.Standing is not (NumberStanding.Same or NumberStanding.Stated)).Standing);
        var met = Numbers.Zones!.Met;
        var other = scene.Recompute(scene.Give(o => WithAll(o) with { Zones = Numbers.Zones with { Met = [met[0] with { Along = Inches("3.01") }, .. met.Skip(1)] } }));
        Assert.False(other.Holds);
        var places = scene.Recompute(scene.Give(o => WithAll(o) with { Places = [Numbers.Places[0] with { Sequences = 4 }] }));
        Assert.False(places.Holds);
    }

    [Fact]
    public void Earlier_shapes_stay_as_they_are_and_come_out_again()
    {
        var n = scene.Give();
        Assert.IsType<OpinionGiven2>(scene.Bat.Entries[(int)n - 1].Fact);
        scene.Habits.At("2024-03-02").Given(Zone(3, 1, UsualZoneTests.Band("8", "16"), 4), WeighedScene.Version);
        var read = scene.Recompute(n, today: true);
        Assert.True(read.Holds);
        Assert.Empty(read.Today!.Changed);
    }

    [Fact]
    public void What_an_opinion_says_of_zones_and_places_has_to_be_there()
    {
        var zones = Numbers.Zones!;
        Assert.Equal("zone-of-another-file", Refused(zones with { Met = [zones.Met[0] with { Zone = scene.Habits.Entries[^1].Reference }] }));
        Assert.Equal("no-such-baseline", Refused(zones with { Baseline = 2 }));
        Assert.Equal("zone-met-twice", Refused(zones with { Met = [zones.Met[0], zones.Met[0]] }));
        Assert.Equal("zone-finding-unknown", Refused(zones with { Met = [zones.Met[0] with { Finding = 9 }] }));
        Assert.Equal("zone-units", Refused(zones with { Met = [zones.Met[0] with { Along = Degrees("3") }] }));
        Assert.Equal("no-such-list-of-places", RefusedPlaces(Numbers.Places[0] with { List = 5 }));
        Assert.Equal("list-twice", RefusedPlaces(Numbers.Places[0], Numbers.Places[0]));

        string Refused(ZonesFound found) => scene.Bat.When(WithAll(scene.Opinion) with { Zones = found })[0].Code;
        string RefusedPlaces(params PlacesFound[] places) => scene.Bat.When(WithAll(scene.Opinion) with { Places = places })[0].Code;
    }

    [Fact]
    public void Todays_zones_and_lists_move_todays_texts_and_not_the_recorded_ones()
    {
        var n = scene.Give(WithAll);
        scene.Habits.At("2024-03-02").Given(Zone(3, 1, UsualZoneTests.Band("9", "15"), 4) with { Replaces = 11 });
        scene.Bat.At("2024-03-03").Given(new ListWhereabouts(
            2, [new(FindingKind.RackPaint, "red"), new(FindingKind.RackPaint, "green")], [new(Edtf.Parse("1951"), [1, 2], "Harbour")], [new(1, 1, null), new(2, 2, null)], null, list, null)
        { By = Examiner });
        var read = scene.Recompute(n, today: true);
        Assert.True(read.Holds);
        Assert.Equal(["UsualZoneRecorded", "WhereaboutsListed"], read.Today!.Causes.Select(c => c.Type));
        Assert.Contains(read.Today.Changed, m => m.What == "usual zone 14, examination 2 finding f2" && m.From is null && m.To!.EndsWith(" 100.0 % of the finding in the zone", StringComparison.Ordinal));
        Assert.Contains(read.Today.Changed, m => m.What == $"list of places {list}, sequences" && m.To is null);
        Assert.Contains(scene.Bat.State.Corrections.Open, item => item.Entry == n);
    }

    [Fact]
    public void Stated_seasons_may_name_the_dated_facts_they_were_read_from()
    {
        GiveComputedOpinion Stated(GiveComputedOpinion o, params long[] dated) => o with
        {
            Seasons = new SeasonsFound(SeasonsMethod.Stated, [new(1950, 1954)], [new(1950, 1951)], dated),
        };
        var n = scene.Give(o => Stated(o, 5));
        var read = scene.Recompute(n, today: true);
        Assert.True(read.Holds);
        var under = read.Numbers.Single(x => x.What == "seasons under the player");
        Assert.Equal((NumberStanding.Stated, "1950 to 1951", "1949 to 1952"), (under.Standing, under.Recorded, under.Computed));
        Assert.Contains(5L, scene.Bat.State.Opinions.ByEntry[n].RestsOn);
        scene.Bat.At("2024-03-02").Given(
            new RecordDating([new(BatMoment.Used, [Edtf.Parse("1950")], BoundStrength.Hard, DatingScope.Player, DatingBasis.Picture)], null, [5], null) { By = Examiner });
        Assert.Equal("replaced-already", scene.Bat.When(Stated(scene.Opinion, 5))[0].Code);
        Assert.Equal("no-such-dating", scene.Bat.When(Stated(scene.Opinion, 2))[0].Code);
        Assert.Equal(["DatingRecorded"], scene.Recompute(n, today: true).Today!.Causes.Select(c => c.Type));
        // What names nothing needs no third shape.
        scene.Give(o => Stated(o));
        Assert.IsType<OpinionGiven2>(scene.Bat.Entries[^1].Fact);
    }
}
