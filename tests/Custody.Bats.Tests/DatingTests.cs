using Custody.Evidence;
using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

public class DatingTests
{
    static DatingStated Made(string within, long? source = null) =>
        new(BatMoment.Made, [Edtf.Parse(within)], BoundStrength.Hard, DatingScope.Bat, DatingBasis.MakersMark, source, "the maker's book");

    static DatingStated His(params string[] within) =>
        new(BatMoment.Used, [.. within.Select(Edtf.Parse)], BoundStrength.Hard, DatingScope.Player, DatingBasis.Tenure);

    static RecordDating Date(params DatingStated[] facts) => new(facts, null, null, null) { By = Examiner };

    static LagStated Lag(BatMoment from, BatMoment to, int least, int most) => new(from, to, least, most, DatingBasis.CommonPractice);

    // Entry 5 is the list: red and green racks, a finding of an examination showing each.
    static ListWhereabouts Listed(params ContactSeen[] contacts) => new(
        2, [new(FindingKind.RackPaint, "red"), new(FindingKind.RackPaint, "green")],
        [new(Edtf.Parse("1951"), [1], "Harbour"), new(Edtf.Parse("1952"), [2], "Harbour"), new(Edtf.Parse("1950"), [1, 2], "Mill")],
        contacts, null, null, null)
    { By = Examiner };

    static readonly ContactSeen[] Both = [new(1, 1, 1), new(2, 2, 2)];

    [Fact]
    public void Dated_facts_are_recorded_and_name_their_source()
    {
        var story = Registered().Given(Cite(SourceKind.FactoryRecord, PlayShown.NotAPicture), Date(Made("1950/1955", 2), His("1952", "1954")));
        Assert.True(Datings.Counts(story.State, story.State.Datings.ByEntry, 3));
        Assert.Equal([3L], story.State.Corrections.Dependents(2));
    }

    [Fact]
    public void A_withdrawn_source_makes_what_rests_on_it_open_work()
    {
        var story = Registered().Given(Cite(), Date(Made("1950/1955", 2)), new WithdrawSource(2, SourceWithdrawalGround.NotGenuine, null) { By = Examiner });
        Assert.Equal([new OpenItem(3, 4)], story.State.Corrections.Open);
        story.Given(Date(Made("1951/1955")) with { Replaces = [3] });
        Assert.Empty(story.State.Corrections.Open);
        Assert.False(Datings.Counts(story.State, story.State.Datings.ByEntry, 3));
    }

    [Fact]
    public void What_seasons_cannot_be_computed_from_is_refused_by_name()
    {
        var story = Registered();
        Assert.Equal("dating-out-of-range", story.Refused(Date()));
        Assert.Equal("dating-out-of-range", story.Refused(Date([.. Enumerable.Repeat(Made("1950"), DatingRecorded.MostFacts + 1)])));
        Assert.Equal("seasons-fact-empty", story.Refused(Date(His())));
        Assert.Equal("seasons-lag", story.Refused(Date(Made("1950")) with { Lags = [Lag(BatMoment.Made, BatMoment.Used, 0, 1)] }));
        Assert.Equal("seasons-lag", story.Refused(Date(Made("1950")) with { Lags = [Lag(BatMoment.Made, BatMoment.Shipped, 2, 1)] }));
        Assert.Equal("no-such-source", story.Refused(Date(Made("1950", 1))));
        story.Given(new RecordDating([], [Lag(BatMoment.Made, BatMoment.Shipped, 0, 365)], null, null) { By = Examiner });
    }

    [Fact]
    public void Only_dates_that_stand_are_replaced_and_only_once()
    {
        var story = Registered().Given(Date(Made("1950")), Date(Made("1951")) with { Replaces = [2] });
        Assert.Equal("replaced-already", story.Refused(Date(Made("1952")) with { Replaces = [2] }));
        Assert.Equal("no-such-dating", story.Refused(Date(Made("1952")) with { Replaces = [1] }));
    }

    [Fact]
    public void A_list_of_places_rests_on_the_examination_whose_findings_it_names()
    {
        var story = Examined().Given(Listed(Both));
        Assert.Contains(5L, story.State.Corrections.Dependents(3));
        story.Given(Listed(Both) with { Replaces = 5 });
        Assert.Equal("replaced-already", story.Refused(Listed(Both) with { Replaces = 5 }));
    }

    [Fact]
    public void A_list_that_does_not_fit_the_findings_is_refused_by_name()
    {
        Assert.Equal("no-such-examination", Registered().Refused(Listed(Both) with { Examination = 1 }));
        Assert.Equal("findings-not-locked", Registered().Given(Open()).Refused(Listed(Both)));
        var story = Examined();
        Assert.Equal("list-out-of-range", story.Refused(Listed()));
        Assert.Equal("list-out-of-range", story.Refused(Listed(Both) with { Places = [] }));
        Assert.Equal("sign-unknown", story.Refused(Listed(new ContactSeen(1, 3, null))));
        Assert.Equal("sign-unknown", story.Refused(Listed(Both) with { Places = [new(Edtf.Parse("1951"), [9], null)] }));
        Assert.Equal("contact-unknown", story.Refused(Listed(new ContactSeen(3, 1, null))));
        Assert.Equal("contact-unknown", story.Refused(Listed(new(1, 1, null), new(1, 2, null))));
        Assert.Equal("place-not-listed", story.Refused(Listed(new ContactSeen(1, 1, 4))));
        Assert.Equal("place-not-listed", story.Refused(Listed(new ContactSeen(1, 1, 2)))); // Harbour of 1952 left green only
        Assert.Equal("no-such-list-of-places", story.Refused(Listed(Both) with { Replaces = 1 }));
    }
}
