using static Custody.Bats.Tests.Cast;

namespace Custody.Bats.Tests;

public class MixUpTests
{
    readonly Story<Bat> one = ABat().Given(BaselineTaken, Check);
    readonly Story<Bat> other = ABat('1');

    // Entry 3 rests on entry 2, so it falls into doubt with it.
    static CheckIdentity Check => new(2, IdentityResult.Same, CheckOccasion.StockTaking, null, null, null, null) { By = House };

    FindMixUp Find(params long[] inDoubt) => new(one.Cite(other, 1), inDoubt, "two labels changed places") { By = House };

    static SettleMixUp Settle(long mixUp, CustodyFinding custody = CustodyFinding.AsRecorded, PartyId? custodian = null,
        params long[] confirmed) =>
        new(mixUp, confirmed, custody, custodian, null, null) { By = House };

    [Fact]
    public void A_mix_up_freezes_the_hand_overs_of_both()
    {
        one.Given(Find(2));
        Assert.Equal("mixed-up", one.Refused(Release(House, Owner)));
        other.Given(new FindMixUp(other.Cite(one, 4), [], null) { By = House });
        Assert.Equal("mixed-up", other.Refused(Release(House, Owner)));
        Assert.Equal("mixed-up", Assert.Single(other.State.RefuseWhileMixedUp()).Code);
    }

    [Fact]
    public void Until_every_entry_in_doubt_and_every_one_that_rests_on_it_is_settled()
    {
        one.Given(Find(2));
        Assert.Equal([2, 3], MixUps.Unsettled(one.State, 4));
        one.Given(Settle(4, confirmed: 2));
        Assert.Equal("mixed-up", one.Refused(Release(House, Owner)));
        one.Given(Settle(4, confirmed: 3), Release(House, Owner));
        Assert.Equal("mix-up-settled", one.Refused(Settle(4)));
    }

    [Fact]
    public void An_entry_that_concerns_the_other_bat_is_settled_by_a_correction()
    {
        one.Given(Find(2), Settle(4, confirmed: 3));
        Assert.Equal([2], MixUps.Unsettled(one.State, 4));
        var otherBat = one.Cite(other, 1);
        one.Given(new CorrectEntry(CorrectionKind.ConcernsAnotherBat, one.Entries[1].Reference, null, null, null, otherBat, null, null) { By = House });
        Assert.Empty(MixUps.Unsettled(one.State, 4));
        Assert.Equal("entry-void", one.Refused(Check));
        one.Given(Release(House, Owner));
    }

    [Fact]
    public void And_until_it_is_said_where_the_bat_is_even_when_nothing_is_in_doubt()
    {
        one.Given(Find());
        Assert.Equal("mixed-up", one.Refused(Release(House, Owner)));
        one.Given(Settle(4), Release(House, Owner));
    }

    [Fact]
    public void A_settlement_says_that_the_bat_is_with_another()
    {
        one.Given(Find(), Settle(4, CustodyFinding.WithAnother, Buyer));
        Assert.Equal(one.AliasOf(Buyer), one.State.Keeping.Custodian);
        Assert.Equal(5, one.State.Keeping.Since);
    }

    [Fact]
    public void Or_that_nobody_knows_where_it_is() =>
        Assert.False(one.Given(Find(), Settle(4, CustodyFinding.NotKnown)).State.Keeping.IsKnown);

    [Fact]
    public void A_hand_over_under_way_is_not_received_while_mixed_up_and_ends_as_misdelivered_when_the_bat_is_elsewhere()
    {
        one.Given(Release(House, Owner), Find());
        Assert.Equal("mixed-up", one.Refused(Receive(Owner, 4)));
        one.Given(Settle(5, CustodyFinding.WithAnother, House));
        Assert.Equal(HandoverStanding.Misdelivered, one.State.Keeping.Handovers[4].Standing);
        Assert.Equal(one.AliasOf(House), one.State.Keeping.Custodian);
    }

    [Fact]
    public void It_can_still_be_recalled_while_mixed_up() =>
        one.Given(Release(House, Owner), Find(), new RecallHandover(4, RecallReason.WrongBat, TurnedBackAt.StillWithReleaser,
            null)
        { By = House });

    [Fact]
    public void Another_custodian_is_named_exactly_when_there_is_one()
    {
        one.Given(Find());
        Assert.Equal("custodian-not-fitting", one.Refused(Settle(4, CustodyFinding.WithAnother)));
        Assert.Equal("custodian-not-fitting", one.Refused(Settle(4, CustodyFinding.AsRecorded, Buyer)));
        Assert.Equal("custodian-not-fitting", one.Refused(Settle(4, CustodyFinding.WithAnother, House)));
    }

    [Fact]
    public void Only_entries_in_doubt_are_confirmed() =>
        Assert.Equal("not-in-doubt", one.Given(Find(2)).Refused(Settle(4, confirmed: 1)));

    [Fact]
    public void It_is_settled_by_who_found_it_or_keeps_the_bat()
    {
        one.Given(Find());
        Assert.Equal("not-yours-to-settle", one.Refused(Settle(4) with { By = Stranger }));
        Assert.Equal("no-such-mix-up", one.Refused(Settle(2)));
        Assert.Equal("no-such-check", one.Refused(Settle(4) with { Check = 2 }));
        one.Given(Settle(4) with { Check = 3 });
    }

    [Fact]
    public void The_registration_and_entries_that_do_not_exist_cannot_be_in_doubt()
    {
        Assert.Equal("cannot-be-in-doubt", one.Refused(Find(1)));
        Assert.Equal("cannot-be-in-doubt", one.Refused(Find(4)));
    }

    [Fact]
    public void It_is_found_once_and_between_these_two()
    {
        one.Given(Find());
        Assert.Equal("mix-up-known", one.Refused(Find()));
        var third = ABat('2');
        Assert.Equal("another-record", third.Refused(new FindMixUp(third.Cite(one, 4), [], null) { By = House }));
        Assert.Equal("not-another-bat", third.Refused(new FindMixUp(third.Entries[0].Reference, [], null) { By = House }));
        Assert.Equal("cited-wrong-kind", third.Refused(new FindMixUp(third.Cite(one, 2), [], null) { By = House }));
    }

    [Fact]
    public void A_mixed_up_record_does_not_end_as_the_same_bat()
    {
        var older = new Story<Bat>(letter: '3').At("2024-02-01").Given(Registered);
        older.Given(new FindDuplicate(older.Cite(other, 1), null) { By = House });
        other.Given(new FindMixUp(other.Cite(one, 1), [], null) { By = House });
        Assert.Equal("mixed-up", other.Refused(new DeclareSameBat(other.Cite(older, 2), null) { By = House }));
    }
}
