using static Custody.Bats.Tests.Cast;

namespace Custody.Bats.Tests;

public class PartsTests
{
    readonly Story<Bat> whole = ABat();
    readonly Story<Bat> handle = ABat('1');
    readonly Story<Bat> barrel = ABat('2');

    DivideBat Divide => new(DivisionCause.Broke, [whole.Cite(handle, 1), whole.Cite(barrel, 1)], null, null) { By = House };

    JoinParts Join => new([whole.Cite(handle, 1), whole.Cite(barrel, 1)], null, null) { By = House };

    [Fact]
    public void A_divided_bats_record_ends_and_points_to_its_pieces()
    {
        whole.Given(Divide);
        Assert.Equal("bat-divided", whole.Refused(Release(House, Owner)));
        Assert.Equal(2, whole.State.Identity.Divisions[2].Count);
    }

    [Fact]
    public void It_has_two_pieces_each_with_a_record_of_its_own()
    {
        Assert.Equal("pieces-missing", whole.Refused(Divide with { Pieces = [whole.Cite(handle, 1)] }));
        Assert.Equal("pieces-missing", whole.Refused(Divide with { Pieces = [whole.Cite(handle, 1), whole.Cite(handle, 1)] }));
        Assert.Equal("cited-not-found", whole.Refused(Divide with
        {
            Pieces = [handle.Entries[0].Reference,
            barrel.Entries[0].Reference with { N = 2 }]
        }));
    }

    [Fact]
    public void It_is_recorded_by_who_has_the_bat_and_leaves_no_hold_behind()
    {
        Assert.Equal("not-in-your-hands", whole.Refused(Divide with { By = Stranger }));
        Assert.Equal("hold-in-force", whole.Given(HoldOn(HoldScope.Sell)).Refused(Divide));
    }

    [Fact]
    public void Joined_pieces_reopen_the_whole_and_end_their_own_records()
    {
        whole.Given(Divide, Join, Release(House, Owner));
        handle.Given(new JoinPiece(handle.Cite(whole, 3), null) { By = House });
        Assert.Equal("piece-joined", handle.Refused(Release(House, Owner)));
    }

    [Fact]
    public void Two_pieces_never_recorded_as_one_bat_are_joined_on_either()
    {
        handle.Given(new JoinParts([handle.Cite(barrel, 1)], null, null) { By = House }, Release(House, Owner));
        barrel.Given(new JoinPiece(barrel.Cite(handle, 2), null) { By = House });
    }

    [Fact]
    public void A_divided_bat_is_joined_from_its_own_pieces()
    {
        var third = ABat('3');
        whole.Given(Divide);
        Assert.Equal("not-its-piece", whole.Refused(new JoinParts([whole.Cite(third, 1)], null, null) { By = House }));
        Assert.Equal("pieces-missing", whole.Refused(new JoinParts([], null, null) { By = House }));
    }

    [Fact]
    public void A_bat_that_ended_otherwise_is_not_joined_again()
    {
        whole.Given(new DestroyBat(DestructionCause.Fire, null, null, null, null) { By = House });
        Assert.Equal("bat-destroyed", whole.Refused(Join));
        var voided = ABat('3').Given(new VoidRegistration(VoidReason.NotABat, null) { By = House });
        Assert.Equal("registration-voided", voided.Refused(new JoinParts([voided.Cite(handle, 1)], null, null) { By = House }));
    }

    [Fact]
    public void A_piece_ends_only_where_it_is_named()
    {
        var third = ABat('3');
        whole.Given(Divide, Join);
        Assert.Equal("another-record", third.Refused(new JoinPiece(third.Cite(whole, 3), null) { By = House }));
        Assert.Equal("in-transit", handle.Given(Release(House, Owner)).Refused(new JoinPiece(handle.Cite(whole, 3), null) { By = House }));
    }
}
