using Custody.Evidence;
using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

public class HabitFileTests
{
    static readonly OpenHabitFile Open = new(Player, House, Edtf.Parse("1948/1956"), "his bats") { By = House };

    public static readonly Characteristic Tape = new(FindingKind.Tape, 3, Possible.Yes, Possible.Yes, Edtf.Parse("1975"));

    static DefineCharacteristic Define(Characteristic? characteristic = null) =>
        new(characteristic ?? Tape, null, "tape on the handle", ["rings", "spiral", "criss-cross"]) { By = House };

    static RecordOccasion Record(
        OccasionKind kind, Observed observed, int? value = null, long? copyOf = null, long? sameOccasion = null, BatEntry entry = BatEntry.NotABat,
        Reference? custody = null) =>
        new(kind, Edtf.Parse("1952"), copyOf, sameOccasion, entry, [new Observation(2, observed, value)], null, null, "a print", custody) { By = House };

    static Entry Kept(CustodyCapacity capacity, AssertionBasis basis) => new Story<Bat>("bat", 'B').Given(
        Trade.Registered(), new ReportCustody(Second, capacity, Edtf.Parse("1950"), Edtf.Parse("1955"), basis, null, null, null, null) { By = House }).Entries[^1];

    static Reference To(Entry entry) => new(null, entry.Envelope.Stream, entry.N, entry.Hash);

    static RecordOccasion Seen(int value, OccasionKind kind = OccasionKind.InPlayPicture, long? copyOf = null, long? sameOccasion = null) =>
        Record(kind, Observed.Seen, value, copyOf, sameOccasion);

    static Story<HabitFile> Opened() => new Story<HabitFile>("habits").Given(Open, Define());

    static WithdrawOccasion Withdraw(long n) => new(n, SourceWithdrawalGround.AnotherPerson, "not him") { By = House };

    static readonly VersionCounts Versioned = new([2], null) { By = House };

    /// <summary>A version of an invented habit file, to be cited.</summary>
    public static Entry Version() => Opened().Given(Seen(2), Versioned).Entries[^1];

    static IReadOnlyList<int> InPlay(Story<HabitFile> story) => Assert.Single(story.State.Counts(), c => c.Pool == Pool.InPlay).Of;

    [Fact]
    public void Seen_absent_and_hidden_are_three_things()
    {
        var story = Opened().Given(
            Seen(2), Seen(2), Seen(3), Record(OccasionKind.Film, Observed.Absent), Record(OccasionKind.Film, Observed.CouldNotBeSeen));
        Assert.Equal([1, 0, 2, 1], InPlay(story));
    }

    [Fact]
    public void Copies_and_pictures_of_one_game_are_one_occasion()
    {
        var story = Opened().Given(Seen(2), Seen(2, copyOf: 3), Seen(2, sameOccasion: 4), Seen(2));
        Assert.Equal([0, 0, 2, 0], InPlay(story));
    }

    [Fact]
    public void Two_occasions_found_to_be_one_are_joined()
    {
        var story = Opened().Given(Seen(1), Seen(2), Seen(3, copyOf: 3, sameOccasion: 4));
        Assert.Equal([0, 1, 0, 0], InPlay(story));
    }

    [Fact]
    public void Posed_pictures_and_surviving_bats_are_counted_apart_and_narrative_not_at_all()
    {
        var kept = Kept(CustodyCapacity.Club, AssertionBasis.Document);
        var story = Opened().Citing(kept).Given(
            Seen(1, OccasionKind.PosedPicture), Seen(1, OccasionKind.Card),
            Record(OccasionKind.SurvivingBat, Observed.Seen, 2, entry: BatEntry.CustodyFromClub, custody: To(kept)), Seen(3, OccasionKind.Interview));
        Assert.Equal(
            [(Pool.Posed, "0,2,0,0"), (Pool.SurvivingBats, "0,0,1,0")], story.State.Counts().Select(c => (c.Pool, string.Join(',', c.Of))));
    }

    [Fact]
    public void A_withdrawn_occasion_is_out_of_the_counts_and_its_copies_still_count_once()
    {
        var story = Opened().Given(Seen(1), Seen(2, copyOf: 3), Seen(2, copyOf: 3), Withdraw(3));
        Assert.Equal([0, 0, 1, 0], InPlay(story));
        Assert.Equal("withdrawn-already", story.Refused(Withdraw(3)));
        Assert.Equal("no-such-occasion", story.Refused(Withdraw(2)));
    }

    [Fact]
    public void A_bat_never_enters_because_its_habits_attributed_it()
    {
        Assert.Equal("bat-by-attribution", Opened().Refused(
            Record(OccasionKind.SurvivingBat, Observed.Seen, 1, entry: BatEntry.HabitsAttributedIt)));
        Assert.Equal("bat-entry-not-said", Opened().Refused(Record(OccasionKind.SurvivingBat, Observed.Seen, 1)));
        Assert.Equal("bat-entry-not-said", Opened().Refused(Record(OccasionKind.Film, Observed.Seen, 1, entry: BatEntry.CustodyFromClub)));
    }

    [Theory]
    [InlineData(CustodyCapacity.Club, AssertionBasis.Document, BatEntry.CustodyFromClub, true)]
    [InlineData(CustodyCapacity.Player, AssertionBasis.Letter, BatEntry.CustodyFromPlayer, true)]
    [InlineData(CustodyCapacity.Club, AssertionBasis.HoldersWord, BatEntry.CustodyFromClub, false)]
    [InlineData(CustodyCapacity.Club, AssertionBasis.Document, BatEntry.CustodyFromPlayer, false)]
    [InlineData(CustodyCapacity.Owner, AssertionBasis.Document, BatEntry.CustodyFromPlayer, false)]
    public void A_bat_enters_by_an_entry_of_its_own_history_that_documents_custody(CustodyCapacity capacity, AssertionBasis basis, BatEntry entry, bool taken)
    {
        var kept = Kept(capacity, basis);
        var record = Record(OccasionKind.SurvivingBat, Observed.Seen, 1, entry: entry, custody: To(kept));
        if (taken) Opened().Citing(kept).Given(record);
        else Assert.Equal("bat-custody-not-documented", Opened().Citing(kept).Refused(record));
    }

    [Fact]
    public void Custody_that_is_only_said_or_cannot_be_found_documents_nothing()
    {
        var kept = Kept(CustodyCapacity.Club, AssertionBasis.Document);
        Assert.Equal("bat-custody-not-documented", Opened().Refused(Record(OccasionKind.SurvivingBat, Observed.Seen, 1, entry: BatEntry.CustodyFromClub)));
        Assert.Equal("bat-custody-not-documented",
            Opened().Refused(Record(OccasionKind.SurvivingBat, Observed.Seen, 1, entry: BatEntry.CustodyFromClub, custody: To(kept))));
        Assert.Equal("bat-custody-of-no-bat", Opened().Citing(kept).Refused(Record(OccasionKind.Film, Observed.Seen, 1, custody: To(kept))));
    }

    [Theory]
    [InlineData(Observed.Seen, null)]
    [InlineData(Observed.Seen, 0)]
    [InlineData(Observed.Seen, 4)]
    [InlineData(Observed.Absent, 1)]
    public void A_value_is_named_exactly_when_seen(Observed observed, int? value) =>
        Assert.Equal("value-unknown", Opened().Refused(Record(OccasionKind.Film, observed, value)));

    [Fact]
    public void Observations_name_each_characteristic_of_the_file_once()
    {
        var occasion = Seen(1);
        Assert.Equal("observed-twice", Opened().Refused(occasion with { Observations = [] }));
        Assert.Equal("observed-twice", Opened().Refused(occasion with { Observations = [.. occasion.Observations, .. occasion.Observations] }));
        Assert.Equal("no-such-characteristic", Opened().Refused(occasion with { Observations = [new Observation(1, Observed.Absent, null)] }));
        Assert.Equal("no-such-occasion", Opened().Refused(Seen(1, copyOf: 2)));
        Assert.Equal("no-such-occasion", Opened().Refused(Seen(1, sameOccasion: 9)));
    }

    [Fact]
    public void A_file_is_opened_first_and_once()
    {
        Assert.Equal("file-not-opened", new Story<HabitFile>("habits").Refused(Define()));
        Assert.Equal("file-opened-already", Opened().Refused(Open));
    }

    [Fact]
    public void A_characteristic_has_values_and_agrees_with_the_comparison_files()
    {
        Assert.Equal("values-out-of-range", Opened().Refused(Define(Tape with { Values = 0 })));
        var theirs = ComparisonFileTests.Opened().Entries[1];
        Assert.Equal("cited-not-found", Opened().Refused(Define() with { SameAs = theirs.Reference }));
        Assert.Equal("characteristics-differ", Opened().Citing(theirs).Refused(Define(Tape with { Values = 2 }) with { SameAs = theirs.Reference }));
        Opened().Citing(theirs).Given(Define() with { SameAs = theirs.Reference });
    }

    [Fact]
    public void A_version_repeats_what_the_file_adds_up_to()
    {
        var story = Opened().Given(Seen(2), Versioned, Seen(2), Versioned);
        Assert.Equal([4L, 6L], story.State.Versions.Values);
        Assert.Equal([0, 0, 1, 0], Assert.Single(((CountsVersioned)story.Entries[3].Fact).Counts).Of);
        Assert.Equal("order-incomplete", story.Refused(Versioned with { Order = [] }));
        var right = (CountsVersioned)story.Entries[^1].Fact;
        Assert.Equal("counts-differ", Ask(story, right with { Version = 3, Counts = [new ValueCounts(2, Pool.InPlay, null, [0, 0, 3, 0])] }));
        Assert.Equal("counts-differ", Ask(story, right with { Version = 3, Counts = [] }));
        Assert.Equal("version-out-of-order", Ask(story, right with { Version = 2 }));
    }

    static string Ask(Story<HabitFile> story, CountsVersioned fact)
    {
        var last = story.Entries[^1];
        var entry = last with { Fact = fact, Envelope = last.Envelope with { N = story.State.N + 1, Prev = story.State.Head } };
        return Assert.Single(Decisions.Permit(story.State, entry, NothingCited.Instance)).Code;
    }
}
