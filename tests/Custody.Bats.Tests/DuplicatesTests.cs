using static Custody.Bats.Tests.Cast;

namespace Custody.Bats.Tests;

public class DuplicatesTests
{
    readonly Story<Bat> older = ABat();
    readonly Story<Bat> younger = new Story<Bat>(letter: '1').At("2024-03-02").Given(Registered);

    FindDuplicate Find => new(older.Cite(younger, 1), null) { By = House };

    DeclareSameBat Declare => new(younger.Cite(older, 2), null) { By = House };

    [Fact]
    public void The_older_goes_on_and_the_younger_points_to_it()
    {
        older.Given(Find, Release(House, Owner));
        younger.Given(Declare);
        Assert.Equal(older.Entries[1].Reference, younger.State.Identity.Ending!.GoesOn);
        Assert.Equal("declared-same", younger.Refused(Release(House, Owner)));
    }

    [Fact]
    public void Reports_of_the_younger_stay_possible()
    {
        older.Given(Find);
        younger.Given(Declare, new ReportCustody(Owner, CustodyCapacity.Owner, null, null, AssertionBasis.Letter, null, null, null,
            null)
        { By = House });
    }

    [Fact]
    public void It_is_taken_back_on_the_younger_first_and_then_on_the_older()
    {
        older.Given(Find);
        younger.Given(Declare, new ReopenRecord(2, ReopenReason.NotTheSameBat, null) { By = House }, Release(House, Owner));
        older.Given(new WithdrawDuplicate(2, older.Cite(younger, 3), null) { By = House });
        Assert.True(older.State.Identity.Duplicates[2].Withdrawn);
        Assert.Equal("duplicate-withdrawn", older.Refused(new WithdrawDuplicate(2, null, null) { By = House }));
    }

    [Fact]
    public void Withdrawing_cites_the_younger_record_itself()
    {
        var third = ABat('2').Given(new DestroyBat(DestructionCause.Fire, null, null, null, null) { By = House },
            new ReopenRecord(2, ReopenReason.FoundIntact, null) { By = House });
        older.Given(Find);
        Assert.Equal("another-record", older.Refused(new WithdrawDuplicate(2, older.Cite(third, 3), null) { By = House }));
        Assert.Equal("cited-wrong-kind", older.Refused(new WithdrawDuplicate(2, older.Cite(third, 2), null) { By = House }));
        Assert.Equal("no-such-duplicate", older.Refused(new WithdrawDuplicate(1, null, null) { By = House }));
    }

    [Fact]
    public void The_younger_does_not_go_on_for_the_older() =>
        Assert.Equal("not-the-older", younger.Refused(new FindDuplicate(younger.Cite(older, 1), null) { By = House }));

    [Fact]
    public void A_duplicate_is_found_once() => Assert.Equal("duplicate-known", older.Given(Find).Refused(Find));

    [Fact]
    public void The_cited_entry_exists_here_and_is_another_bats_registration()
    {
        Assert.Equal("not-another-bat", older.Refused(new FindDuplicate(older.Entries[0].Reference, null) { By = House }));
        Assert.Equal("cited-not-found", older.Refused(new FindDuplicate(younger.Entries[0].Reference, null) { By = House }));
        Assert.Equal("other-ledger", older.Refused(new FindDuplicate(younger.Entries[0].Reference with { Ledger = "far.example" },
            null)
        { By = House }));
        younger.Given(BaselineTaken);
        Assert.Equal("cited-wrong-kind", older.Refused(new FindDuplicate(older.Cite(younger, 2), null) { By = House }));
    }

    [Fact]
    public void Only_the_record_that_was_found_declares_itself_the_same()
    {
        older.Given(Find);
        var third = ABat('2');
        Assert.Equal("another-record", third.Refused(new DeclareSameBat(third.Cite(older, 2), null) { By = House }));
    }

    [Fact]
    public void Of_two_registered_in_the_same_second_only_one_ends()
    {
        var twin = ABat('2');
        older.Given(new FindDuplicate(older.Cite(twin, 1), null) { By = House });
        twin.Given(new FindDuplicate(twin.Cite(older, 1), null) { By = House });
        Assert.Equal("duplicate-of-itself", twin.Refused(new DeclareSameBat(twin.Cite(older, 2), null) { By = House }));
    }

    [Fact]
    public void No_hold_or_transit_is_left_behind_in_the_younger()
    {
        older.Given(Find);
        Assert.Equal("hold-in-force", younger.Given(HoldOn(HoldScope.PassTitle)).Refused(Declare));
        younger.Given(new LiftHold(2, HoldEnd.PlacedElsewhere, AssertionBasis.None, null, null) { By = House }, Release(House, Owner));
        Assert.Equal("in-transit", younger.Refused(Declare));
    }
}
