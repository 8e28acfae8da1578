using Custody.Evidence;
using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

public class UsualZoneTests
{
    static readonly Characteristic Tar = new(FindingKind.PineTar, 2, Possible.Yes, Possible.Yes, null);

    static RecordOccasion Occasion(OccasionKind kind = OccasionKind.InPlayPicture, Observed observed = Observed.Seen, int? value = 1) =>
        new(kind, Edtf.Parse("1952"), null, null, BatEntry.NotABat, [new Observation(2, observed, value)], null, null, "a print") { By = House };

    internal static SurfacePlace Band(string from, string to) => new(SurfaceShape.Band, SurfaceDatum.Brand, Inches(from), Inches(to), null, null);

    static readonly SurfacePlace Place = Band("8", "16");

    static RecordUsualZone Zone(SurfacePlace? place = null, int? value = 1, long? replaces = null, params long[] occasions) =>
        new(2, value, place ?? Place, occasions.Length == 0 ? [3] : occasions, replaces, "where the tar ends") { By = House };

    /// <summary>1 opened, 2 tar (light, heavy), 3 and 4 light in play, 5 heavy in play, 6 posed, 7 an interview, 8 absent.</summary>
    static Story<HabitFile> Filed() => new Story<HabitFile>("habits").Given(
        new OpenHabitFile(Player, House, Edtf.Parse("1948/1956"), "his bats") { By = House }, new DefineCharacteristic(Tar, null, "tar", ["light", "heavy"]) { By = House },
        Occasion(), Occasion(), Occasion(value: 2), Occasion(OccasionKind.PosedPicture), Occasion(OccasionKind.Interview), Occasion(observed: Observed.Absent, value: null));

    static long[] Counting(Story<HabitFile> story, params long[] own) => [.. story.State.ZonesThatCount(own.ToHashSet()).Select(z => z.Key)];

    [Fact]
    public void A_usual_zone_names_what_he_does_where_and_the_occasions_that_show_it()
    {
        var story = Filed().Given(Zone(occasions: [3, 4]), Zone(value: null, occasions: [3, 5]));
        Assert.Equal([9L, 10], Counting(story));
        Assert.Equal(new UsualZone(2, 1, Place, [3, 4], null) with { Occasions = story.State.Zones[9].Occasions }, story.State.Zones[9]);
        Assert.Equal([3L, 4], story.State.Zones[9].Occasions);
    }

    [Fact]
    public void A_zone_counts_for_nothing_in_the_counts() => Assert.Equal(
        Filed().State.Counts().SelectMany(c => c.Of), Filed().Given(Zone()).State.Counts().SelectMany(c => c.Of));

    [Fact]
    public void What_is_no_zone_is_refused_by_name()
    {
        var story = Filed();
        Assert.Equal("no-such-characteristic", First(Zone() with { Characteristic = 3 }));
        Assert.Equal("value-unknown", First(Zone(value: 3)));
        Assert.Equal("zone-not-on-brand", First(Zone(new SurfacePlace(SurfaceShape.Point, SurfaceDatum.Brand, Inches("8"), null, Degrees("5"), null))));
        Assert.Equal("zone-not-on-brand", First(Zone(Place with { Datum = SurfaceDatum.PhotographedMark, Mark = Picture('m') })));
        Assert.Equal("place-incomplete", First(Zone(Place with { To = null })));
        Assert.Equal("place-off-the-bat", First(Zone(Band("9", "8"))));
        Assert.Equal("no-such-zone", First(Zone(replaces: 3)));

        string First(RecordUsualZone zone) => story.When(zone)[0].Code;
    }

    [Fact]
    public void Only_play_and_documented_bats_say_where_he_did_it()
    {
        Assert.Equal("zone-not-documented", Filed().Refused(Zone() with { Occasions = [] }));
        Assert.Equal("zone-not-documented", Filed().Refused(Zone(occasions: [3, 3])));
        Assert.Equal("no-such-occasion", Filed().Refused(Zone(occasions: 2)));
        Assert.Equal("zone-not-counted", Filed().Refused(Zone(occasions: [3, 6])));
        Assert.Equal("zone-not-counted", Filed().Refused(Zone(occasions: [3, 7])));
        Assert.Equal("zone-not-shown", Filed().Refused(Zone(occasions: [3, 5])));
        Assert.Equal("zone-not-shown", Filed().Refused(Zone(value: null, occasions: [3, 8])));
        Assert.Equal("withdrawn-already", Filed().Given(new WithdrawOccasion(3, SourceWithdrawalGround.AnotherPerson, null) { By = House }).Refused(Zone()));
    }

    [Fact]
    public void A_zone_counts_until_it_is_replaced_or_an_occasion_under_it_falls()
    {
        var story = Filed().Given(Zone(), Zone(Band("9", "15"), replaces: 9), Zone(occasions: [3, 4]));
        Assert.Equal([10L, 11], Counting(story));
        Assert.Equal("replaced-already", story.Refused(Zone(replaces: 9)));
        story.Given(new WithdrawOccasion(4, SourceWithdrawalGround.AnotherPerson, null) { By = House });
        Assert.Equal([10L], Counting(story));
    }

    [Fact]
    public void A_zone_that_the_bat_itself_documents_says_nothing_about_it()
    {
        var story = Filed().Given(Zone(occasions: [3, 4]), Zone(occasions: 3));
        Assert.Equal([10L], Counting(story, own: 4));
        Assert.Equal([9L], story.State.ZonesOfItsOwn(new HashSet<long> { 4 }));
    }
}
