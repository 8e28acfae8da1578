using Custody.Evidence;
using static Custody.Bats.Tests.Cast;

namespace Custody.Bats.Tests;

public class ClaimingTests
{
    static ResolveClaim Resolve(PartyId by, ClaimOutcome outcome, AssertionBasis basis = AssertionBasis.HoldersWord,
        params ShareOf[] title) =>
        new(2, outcome, basis, title, null, null) { By = by };

    static readonly ShareOf ToStranger = new(Stranger, Fraction.Whole);

    [Fact]
    public void A_claim_on_title_makes_it_disputed_until_it_is_resolved()
    {
        var story = ABat().Given(ClaimBy(Stranger));
        Assert.Equal(TitleStanding.Disputed, story.State.Title.Standing);
        Assert.True(story.State.Title.IsHeldBy(story.AliasOf(Owner)));
        story.Given(Resolve(Stranger, ClaimOutcome.Withdrawn));
        Assert.Equal(TitleStanding.Asserted, story.State.Title.Standing);
        Assert.Empty(story.State.Claims.OpenClaims);
    }

    [Fact]
    public void It_stays_disputed_while_another_claim_is_open()
    {
        var story = ABat().Given(ClaimBy(Stranger), ClaimBy(Buyer), Resolve(Stranger, ClaimOutcome.Withdrawn));
        Assert.Equal(TitleStanding.Disputed, story.State.Title.Standing);
    }

    [Fact]
    public void Any_other_claim_leaves_title_alone() =>
        Assert.Equal(TitleStanding.Asserted, ABat().Given(ClaimBy(Stranger, ClaimKind.Lien)).State.Title.Standing);

    [Fact]
    public void Disputed_title_that_nobody_was_known_to_hold_is_unknown_again() =>
        Assert.Equal(TitleStanding.Unknown, new Story<Bat>()
            .Given(Registered with { Title = [], TitleBasis = AssertionBasis.None }, ClaimBy(Stranger), Resolve(Stranger,
                ClaimOutcome.Withdrawn)).State.Title.Standing);

    [Fact]
    public void The_same_claim_is_not_raised_twice_nor_on_ones_own_title()
    {
        Assert.Equal("claim-known", ABat().Given(ClaimBy(Stranger)).Refused(ClaimBy(Stranger)));
        Assert.Equal("claim-on-own", ABat().Refused(ClaimBy(Owner)));
    }

    [Fact]
    public void Nobody_rids_a_bat_of_anothers_claim_on_their_own_word()
    {
        Assert.Equal("resolved-on-own-word", ABat().Given(ClaimBy(Stranger)).Refused(Resolve(Owner, ClaimOutcome.Withdrawn)));
        Assert.Equal("resolved-on-own-word", ABat().Given(ClaimBy(Stranger)).Refused(Resolve(Owner, ClaimOutcome.Dismissed)));
        ABat().Given(ClaimBy(Stranger), Resolve(Owner, ClaimOutcome.Dismissed, AssertionBasis.CourtOrder));
    }

    [Fact]
    public void Nobody_has_their_own_claim_upheld_on_it() =>
        Assert.Equal("resolved-on-own-word", ABat().Given(ClaimBy(Stranger)).Refused(Resolve(Stranger, ClaimOutcome.Upheld)));

    [Fact]
    public void An_upheld_claim_moves_title_by_the_holders_word_or_a_court_order()
    {
        var ordered = ABat().Given(ClaimBy(Stranger), Resolve(House, ClaimOutcome.Upheld, AssertionBasis.CourtOrder, ToStranger));
        Assert.Equal((TitleStanding.Asserted, 3), (ordered.State.Title.Standing, ordered.State.Title.Since));
        ABat().Given(ClaimBy(Stranger), Resolve(Owner, ClaimOutcome.Agreed, AssertionBasis.Document, ToStranger));
        Assert.Equal("not-title-holder", ABat().Given(ClaimBy(Stranger))
            .Refused(Resolve(Stranger, ClaimOutcome.Upheld, AssertionBasis.Document, ToStranger)));
    }

    [Fact]
    public void Title_moves_only_with_a_claim_on_title_that_was_upheld_or_agreed()
    {
        Assert.Equal("title-not-claimed", ABat().Given(ClaimBy(Stranger))
            .Refused(Resolve(Owner, ClaimOutcome.Dismissed, AssertionBasis.CourtOrder, ToStranger)));
        Assert.Equal("title-not-claimed", ABat().Given(ClaimBy(Stranger, ClaimKind.Lien))
            .Refused(Resolve(Owner, ClaimOutcome.Agreed, AssertionBasis.Document, ToStranger)));
        Assert.Equal("shares-not-whole", ABat().Given(ClaimBy(Stranger)).Refused(
            Resolve(Owner, ClaimOutcome.Agreed, AssertionBasis.CourtOrder, new ShareOf(Stranger, new(1, 2)))));
        Assert.Equal("on-hold", ABat().Given(ClaimBy(Stranger), HoldOn(HoldScope.PassTitle))
            .Refused(Resolve(Owner, ClaimOutcome.Agreed, AssertionBasis.Document, ToStranger)));
    }

    [Fact]
    public void A_claim_is_resolved_once()
    {
        Assert.Equal("no-such-claim", ABat().Given(BaselineTaken).Refused(Resolve(Owner, ClaimOutcome.Agreed, AssertionBasis.Document)));
        Assert.Equal("claim-resolved", ABat().Given(ClaimBy(Stranger), Resolve(Stranger, ClaimOutcome.Withdrawn))
            .Refused(Resolve(Stranger, ClaimOutcome.Withdrawn)));
    }

    static ReportMissing Missing(PartyId by, MissingKind kind = MissingKind.Stolen) =>
        new(kind, AssertionBasis.HoldersWord, null, "gone", "17", null) { By = by };

    static RecordRecovery Recovery(long? missing, PartyId keeper, RecoveryMeans means = RecoveryMeans.Found,
        AssertionBasis basis = AssertionBasis.HoldersWord) =>
        new(missing, keeper, means, basis, null, null, null) { By = House };

    [Fact]
    public void When_its_custodian_reports_it_missing_custody_is_not_known_until_it_is_recovered()
    {
        var story = ABat().Given(Missing(House));
        Assert.False(story.State.Keeping.IsKnown);
        Assert.Equal("not-custodian", story.Refused(Release(House, Owner)));
        story.Given(Recovery(2, House));
        Assert.Equal(story.AliasOf(House), story.State.Keeping.Custodian);
        Assert.Empty(story.State.Claims.OpenMissing);
    }

    [Fact]
    public void Anyone_elses_report_leaves_custody_alone_and_only_the_law_takes_the_bat_from_who_has_it()
    {
        var story = ABat().Given(Missing(Owner));
        Assert.Equal(story.AliasOf(House), story.State.Keeping.Custodian);
        Assert.Equal("custodian-known", story.Refused(Recovery(2, Owner)));
        Assert.Equal("custodian-known", story.Refused(Recovery(2, Owner, RecoveryMeans.FromPolice)));
        story.Given(Recovery(2, Owner, RecoveryMeans.FromPolice, AssertionBasis.Document));
        Assert.Equal(story.AliasOf(Owner), story.State.Keeping.Custodian);
    }

    [Fact]
    public void A_report_is_made_once_and_ends_once()
    {
        Assert.Equal("missing-known", ABat().Given(Missing(Owner)).Refused(Missing(Owner)));
        Assert.Equal("recovered-already", ABat().Given(Missing(House), Recovery(2, House)).Refused(Recovery(2, House)));
        Assert.Equal("no-such-missing-report", ABat().Refused(Recovery(1, House)));
        Assert.Equal("nothing-to-recover", ABat().Refused(Recovery(null, House)));
    }

    [Fact]
    public void A_bat_misdelivered_to_nobody_knows_whom_is_recovered_without_a_report() =>
        Assert.True(ABat().Given(Release(House, Owner), new ReportMisdelivery(2, null, null) { By = House }, Recovery(null,
            Owner)).State.Keeping.IsKnown);

    [Fact]
    public void A_bat_found_again_on_its_way_is_still_on_its_way_and_has_no_custodian()
    {
        var story = ABat().Given(Release(House, Owner), Missing(Owner, MissingKind.NotArrived), Recovery(3, Carrier));
        Assert.Equal(2, story.State.Keeping.InTransit);
        Assert.Null(story.State.Keeping.Custodian);
    }

    static LiftHold Lift(PartyId by, AssertionBasis basis = AssertionBasis.None) =>
        new(2, HoldEnd.MatterSettled, basis, null, null) { By = by };

    [Fact]
    public void A_hold_has_a_scope_and_a_review_date_to_come()
    {
        Assert.Equal("hold-without-scope", ABat().Refused(HoldOn()));
        Assert.Equal("review-in-past", ABat().Refused(HoldOn(HoldScope.Sell) with { Review = Edtf.Parse("2023") }));
        ABat().Given(HoldOn(HoldScope.Sell) with { Review = Edtf.Parse("2024") });
    }

    [Fact]
    public void A_hold_stays_past_its_review_and_is_lifted_by_who_placed_it_or_a_court()
    {
        var story = ABat().Given(HoldOn(HoldScope.Release)).At("2025-01-01");
        Assert.Equal("on-hold", story.Refused(Release(House, Owner)));
        Assert.Equal("not-yours-to-lift", story.Refused(Lift(Owner)));
        story.Given(Lift(Owner, AssertionBasis.CourtOrder), Release(House, Owner));
        Assert.Equal("hold-lifted", story.Refused(Lift(House)));
        Assert.Equal("no-such-hold", ABat().Given(BaselineTaken).Refused(Lift(House)));
    }
}
