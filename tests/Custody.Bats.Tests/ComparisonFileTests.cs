using Custody.Evidence;
using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

public class ComparisonFileTests
{
    static readonly OpenComparisonFile Open = new(House, CollectedFrom.PublishedPictures, Edtf.Parse("1940/1960"), "others' bats") { By = House };

    static RecordComparisonOccasion Seen(PartyId player, int value, long? copyOf = null) => new(
        player, OccasionKind.InPlayPicture, Edtf.Parse("1951"), copyOf, null, BatEntry.NotABat, [new Observation(2, Observed.Seen, value)], null, null,
        "a print")
    { By = House };

    static readonly VersionComparisonCounts Versioned = new("the first") { By = House };

    public static Story<ComparisonFile> Opened() => new Story<ComparisonFile>("comparison").Given(
        Open, new DefineComparisonCharacteristic(HabitFileTests.Tape, "tape on the handle", ["rings", "spiral", "criss-cross"]) { By = House });

    /// <summary>A version of an invented comparison file, to be cited.</summary>
    public static Entry Version() => Opened().Given(Seen(Second, 1), Versioned).Entries[^1];

    [Fact]
    public void Each_players_occasions_are_counted_apart()
    {
        var story = Opened().Given(Seen(Second, 1), Seen(Second, 1, copyOf: 3), Seen(Examiner, 2), Seen(Examiner, 3), Versioned);
        Assert.Equal(
            [(story.AliasOf(Second), "0,1,0,0"), (story.AliasOf(Examiner), "0,0,1,1")],
            ((ComparisonCountsVersioned)story.Entries[^1].Fact).Counts.Select(c => (c.Player!.Value, string.Join(',', c.Of))));
    }

    [Fact]
    public void One_players_picture_is_no_copy_of_anothers() =>
        Assert.Equal("no-such-occasion", Opened().Given(Seen(Second, 1)).Refused(Seen(Examiner, 1, copyOf: 3)));

    [Fact]
    public void An_empty_comparison_file_gives_no_version() => Assert.Equal("comparison-file-empty", Opened().Refused(Versioned));

    [Fact]
    public void A_withdrawn_occasion_is_out_of_the_next_version()
    {
        var withdraw = new WithdrawComparisonOccasion(3, SourceWithdrawalGround.AnotherDate, null) { By = House };
        var story = Opened().Given(Seen(Second, 1), Versioned, withdraw);
        Assert.Equal("comparison-file-empty", story.Refused(Versioned));
        Assert.Equal("withdrawn-already", story.Refused(withdraw));
        Assert.Equal("no-such-occasion", story.Refused(withdraw with { Occasion = 2 }));
    }

    [Fact]
    public void A_version_repeats_what_the_file_adds_up_to()
    {
        var story = Opened().Given(Seen(Second, 1), Versioned);
        var last = story.Entries[^1];
        var right = (ComparisonCountsVersioned)last.Fact;
        string Ask(ComparisonCountsVersioned fact) => Assert.Single(Decisions.Permit(
            story.State, last with { Fact = fact, Envelope = last.Envelope with { N = 5, Prev = story.State.Head } }, NothingCited.Instance)).Code;
        Assert.Equal("version-out-of-order", Ask(right));
        Assert.Equal("counts-differ", Ask(right with { Version = 2, Counts = [right.Counts[0] with { Of = [0, 2, 0, 0] }] }));
    }

    [Fact]
    public void A_file_is_opened_first_and_once()
    {
        Assert.Equal("file-opened-already", Opened().Refused(Open));
        Assert.Equal("file-not-opened", new Story<ComparisonFile>("comparison").Refused(Seen(Second, 1)));
    }
}
