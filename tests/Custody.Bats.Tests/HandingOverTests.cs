using Custody.Evidence;
using static Custody.Bats.Tests.Cast;

namespace Custody.Bats.Tests;

public class HandingOverTests
{
    [Fact]
    public void The_custodian_releases_and_the_bat_is_in_transit()
    {
        var story = ABat().Given(Release(House, Owner));
        Assert.Null(story.State.Keeping.Custodian);
        Assert.Equal(2, story.State.Keeping.InTransit);
    }

    [Fact]
    public void Nobody_but_the_custodian_releases() => Assert.Equal("not-custodian", ABat().Refused(Release(Owner, Buyer)));

    [Fact]
    public void Someone_authorised_by_the_custodian_releases_for_them()
    {
        var story = ABat().Given(Authorise(House, Agent, House, AuthorisedAct.Release), Release(Agent, Owner));
        Assert.Equal(story.AliasOf(House), story.State.Keeping.Handovers[3].From);
    }

    [Fact]
    public void An_authority_for_one_act_is_not_one_for_another() =>
        Assert.Equal("not-custodian", ABat().Given(Authorise(House, Agent, House, AuthorisedAct.Receive)).Refused(Release(Agent, Owner)));

    [Fact]
    public void The_recipient_records_a_release_on_the_custodians_signed_paper() =>
        Assert.Equal(2, ABat().Given(Release(Owner, Owner, attestation: Attestation.SignedPaper)).State.Keeping.InTransit);

    [Fact]
    public void Not_on_anything_less() =>
        Assert.Equal("not-custodian", ABat().Refused(Release(Owner, Owner, attestation: Attestation.None)));

    [Fact]
    public void Nothing_is_released_twice() =>
        Assert.Equal("in-transit", ABat().Given(Release(House, Owner)).Refused(Release(House, Buyer)));

    [Fact]
    public void A_bat_is_not_handed_to_who_has_it() => Assert.Equal("to-oneself", ABat().Refused(Release(House, House)));

    [Fact]
    public void A_loan_has_a_date_on_which_it_is_due() =>
        Assert.Equal("due-missing", ABat().Refused(Release(House, Buyer, HandoverPurpose.Loan) with { Due = null }));

    [Fact]
    public void A_hold_on_release_stops_a_release() =>
        Assert.Equal("on-hold", ABat().Given(HoldOn(HoldScope.Release)).Refused(Release(House, Owner)));

    [Theory]
    [InlineData(HandoverPurpose.Court)]
    [InlineData(HandoverPurpose.Police)]
    [InlineData(HandoverPurpose.Insurer)]
    [InlineData(HandoverPurpose.Treatment)]
    [InlineData(HandoverPurpose.SafeKeeping)]
    public void A_hold_on_release_never_stops_a_safe_one(HandoverPurpose purpose) =>
        Assert.Equal(3, ABat().Given(HoldOn(HoldScope.Release), Release(House, Stranger, purpose)).State.Keeping.InTransit);

    [Fact]
    public void The_named_recipient_receives_and_keeps_it()
    {
        var story = ABat().Given(Release(House, Owner), Receive(Owner, 2));
        Assert.Equal(story.AliasOf(Owner), story.State.Keeping.Custodian);
        Assert.Null(story.State.Keeping.InTransit);
        Assert.Equal(HandoverStanding.Received, story.State.Keeping.Handovers[2].Standing);
    }

    [Fact]
    public void Nobody_else_receives() => Assert.Equal("not-recipient", ABat().Given(Release(House, Owner)).Refused(Receive(Stranger, 2)));

    [Fact]
    public void Someone_recorded_as_receiving_for_them_receives_and_the_recipient_keeps_it()
    {
        var story = ABat().Given(Authorise(Owner, Agent, Owner, AuthorisedAct.Receive), Release(House, Owner), Receive(Agent, 3));
        Assert.Equal(story.AliasOf(Owner), story.State.Keeping.Custodian);
    }

    [Theory]
    [InlineData(Attestation.SignedPaper)]
    [InlineData(Attestation.None)]
    public void The_giving_side_writes_down_a_receipt_that_is_shown_as_attested_so(Attestation attestation)
    {
        var story = ABat().Given(Release(House, Owner), Receive(House, 2, Owner, attestation));
        Assert.Equal(attestation, story.State.Keeping.Handovers[2].Taken);
    }

    [Fact]
    public void The_giving_side_never_receives_by_account_for_the_other() =>
        Assert.Equal("not-recipient", ABat().Given(Release(House, Owner)).Refused(Receive(House, 2, Owner)));

    [Fact]
    public void Nothing_is_received_that_was_not_released() => Assert.Equal("not-in-transit", ABat().Refused(Receive(House, 1)));

    [Fact]
    public void A_receipt_answers_the_open_hand_over() =>
        Assert.Equal("another-handover", ABat().Given(Release(House, Owner), Receive(Owner, 2), Release(Owner, House))
            .Refused(Receive(House, 2)));

    [Fact]
    public void A_receipt_checked_against_a_baseline_is_an_identity_check()
    {
        var story = ABat().Given(BaselineTaken, Release(House, Owner), Receive(Owner, 3) with
        {
            Baseline = 2,
            Identity = IdentityResult.Different
        });
        Assert.Equal(new IdentityCheck(2, IdentityResult.Different, CheckOccasion.Receipt), story.State.Identity.Checks[4]);
        Assert.True(story.State.Identity.InDoubt(story.State.Corrections));
    }

    [Fact]
    public void A_receipt_names_a_baseline_exactly_when_it_was_checked()
    {
        var story = ABat().Given(BaselineTaken, Release(House, Owner));
        Assert.Equal("check-not-fitting", story.Refused(Receive(Owner, 3) with { Baseline = 2 }));
        Assert.Equal("check-not-fitting", story.Refused(Receive(Owner, 3) with { Identity = IdentityResult.Same }));
        Assert.Equal("no-such-baseline", story.Refused(Receive(Owner, 3) with { Baseline = 1, Identity = IdentityResult.Same }));
    }

    static RefuseHandover Refuse(PartyId by, TurnedBackAt where) => new(2, HandoverRefusal.Damaged, where, "cracked", null) { By = by };

    static RecallHandover Recall(PartyId by, TurnedBackAt where) => new(2, RecallReason.WrongRecipient, where, null) { By = by };

    static ReportMisdelivery Misdelivery(PartyId by, PartyId? with) => new(2, with, null) { By = by };

    [Fact]
    public void A_refused_bat_goes_back_and_only_its_releaser_receives_it()
    {
        var story = ABat().Given(Release(House, Owner), Refuse(Owner, TurnedBackAt.OnTheWayBack));
        Assert.Equal("not-recipient", story.Refused(Receive(Owner, 2)));
        story.Given(Receive(House, 2));
        Assert.Equal(story.AliasOf(House), story.State.Keeping.Custodian);
        Assert.Equal(HandoverStanding.Refused, story.State.Keeping.Handovers[2].Standing);
    }

    [Fact]
    public void A_bat_refused_at_the_counter_stays_with_its_releaser()
    {
        var story = ABat().Given(Release(House, Owner), Refuse(Owner, TurnedBackAt.StillWithReleaser));
        Assert.Equal(story.AliasOf(House), story.State.Keeping.Custodian);
        Assert.Null(story.State.Keeping.InTransit);
    }

    [Fact]
    public void Only_the_recipient_refuses_and_only_the_releaser_recalls()
    {
        var story = ABat().Given(Release(House, Owner));
        Assert.Equal("not-recipient", story.Refused(Refuse(House, TurnedBackAt.OnTheWayBack)));
        Assert.Equal("not-releaser", story.Refused(Recall(Owner, TurnedBackAt.OnTheWayBack)));
    }

    [Fact]
    public void A_recalled_bat_comes_back_to_its_releaser()
    {
        var story = ABat().Given(Release(House, Owner), Recall(House, TurnedBackAt.OnTheWayBack), Receive(House, 2));
        Assert.Equal(story.AliasOf(House), story.State.Keeping.Custodian);
        Assert.Equal(HandoverStanding.Recalled, story.State.Keeping.Handovers[2].Standing);
    }

    [Fact]
    public void What_never_left_is_with_its_releaser_at_once() =>
        Assert.NotNull(ABat().Given(Release(House, Owner), Recall(House, TurnedBackAt.StillWithReleaser)).State.Keeping.Custodian);

    [Fact]
    public void A_hand_over_turned_back_is_not_turned_back_again()
    {
        var story = ABat().Given(Release(House, Owner), Recall(House, TurnedBackAt.OnTheWayBack));
        Assert.Equal("going-back", story.Refused(Refuse(Owner, TurnedBackAt.OnTheWayBack)));
        Assert.Equal("going-back", story.Refused(Recall(House, TurnedBackAt.OnTheWayBack)));
    }

    [Fact]
    public void Nothing_is_refused_recalled_or_misdelivered_that_is_not_on_its_way()
    {
        var story = ABat();
        Assert.Equal("not-in-transit", story.Refused(Refuse(Owner, TurnedBackAt.OnTheWayBack)));
        Assert.Equal("not-in-transit", story.Refused(Recall(House, TurnedBackAt.OnTheWayBack)));
        Assert.Equal("not-in-transit", story.Refused(Misdelivery(House, null)));
    }

    [Fact]
    public void A_misdelivered_bat_is_with_whoever_has_it()
    {
        var story = ABat().Given(Release(House, Owner), Misdelivery(House, Stranger));
        Assert.Equal(story.AliasOf(Stranger), story.State.Keeping.Custodian);
        Assert.Equal(HandoverStanding.Misdelivered, story.State.Keeping.Handovers[2].Standing);
    }

    [Fact]
    public void Or_its_custody_is_not_known()
    {
        var story = ABat().Given(Release(House, Owner) with { Carrier = Carrier }, Misdelivery(Carrier, null));
        Assert.False(story.State.Keeping.IsKnown);
    }

    [Fact]
    public void A_bat_with_its_recipient_is_not_misdelivered() =>
        Assert.Equal("delivered-as-named", ABat().Given(Release(House, Owner)).Refused(Misdelivery(House, Owner)));

    [Fact]
    public void A_stranger_to_the_hand_over_says_nothing_of_it() =>
        Assert.Equal("not-a-side", ABat().Given(Release(House, Owner)).Refused(Misdelivery(Stranger, null)));

    [Fact]
    public void The_custodian_moves_the_bat_and_keeps_it()
    {
        var story = ABat().Given(new MoveBat(MoveReason.SafeKeeping, "shelf 4", "vault", null) { By = House });
        Assert.Equal(story.AliasOf(House), story.State.Keeping.Custodian);
    }

    [Fact]
    public void Nobody_else_moves_it_and_nobody_while_it_is_in_transit()
    {
        var move = new MoveBat(MoveReason.Storage, null, null, null) { By = Owner };
        Assert.Equal("not-custodian", ABat().Refused(move));
        Assert.Equal("in-transit", ABat().Given(Release(House, Owner)).Refused(move with { By = House }));
    }

    static ReportCustody Kept(string? from, string? until) => new(
        Stranger, CustodyCapacity.Club, from is null ? null : Edtf.Parse(from), until is null ? null : Edtf.Parse(until),
            AssertionBasis.Letter,
        [Irregularity.Undocumented, Irregularity.Undocumented], "a clubhouse", null, null)
    { By = House };

    [Fact]
    public void A_report_of_custody_moves_nothing()
    {
        var story = ABat();
        var before = story.State.Keeping;
        story.Given(Kept("1958~", "1961"), Kept(null, null));
        Assert.Equal(before, story.State.Keeping);
        Assert.Equal([Irregularity.Undocumented], ((CustodyReported)story.Entries[1].Fact).Irregularities);
    }

    [Fact]
    public void A_report_is_refused_only_for_dates_that_no_reading_allows()
    {
        Assert.Equal("ends-before-it-begins", ABat().Refused(Kept("1961", "1958")));
        Assert.Equal("begins-in-future", ABat().Refused(Kept("2031", null)));
        ABat().Given(Kept("1961", "1961-05"), Kept("196X", "1960?"));
    }
}
