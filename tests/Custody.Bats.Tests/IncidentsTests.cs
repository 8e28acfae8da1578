using Custody.Evidence;
using static Custody.Bats.Tests.Cast;

namespace Custody.Bats.Tests;

public class IncidentsTests
{
    static readonly ReportIncident Report =
        new(IncidentKind.Fire, IncidentExtent.Total, null, AssertionBasis.Document, null, null, null, "a fire", null) { By = House };

    static SettleInsurance Settle(PartyId by, TitleEffect title = TitleEffect.PassesToInsurer) =>
        new(2, Insurer, InsurerDecision.PaidTotalLoss, title, Money.Parse("5000.00", "USD"), null, null) { By = by };

    [Fact]
    public void A_report_moves_nothing_and_a_total_loss_payment_may_move_title()
    {
        var story = ABat().Given(Report);
        Assert.Equal(1, story.State.Title.Since);
        story.Given(Settle(Owner));
        Assert.True(story.State.Title.IsHeldBy(story.AliasOf(Insurer)));
        Assert.Contains(3, story.State.Incidents.ByEntry[2].Settlements);
    }

    [Fact]
    public void A_payment_alone_leaves_title_where_it_was_and_under_a_hold_it_is_recorded() =>
        Assert.Equal(1, ABat().Given(Report, HoldOn(HoldScope.PassTitle), Settle(House, TitleEffect.Stays)).State.Title.Since);

    [Fact]
    public void Title_passes_only_by_its_holders_not_under_a_hold_and_not_while_disputed()
    {
        Assert.Equal("not-title-holder", ABat().Given(Report).Refused(Settle(Insurer)));
        Assert.Equal("on-hold", ABat().Given(Report, HoldOn(HoldScope.PassTitle)).Refused(Settle(Owner)));
        Assert.Equal("not-title-holder", ABat().Given(Report, ClaimBy(Stranger)).Refused(Settle(Owner)));
    }

    [Fact]
    public void Title_passes_only_with_a_total_loss_payment_to_one_who_lacks_it()
    {
        Assert.Equal("not-total-loss", ABat().Given(Report).Refused(Settle(Owner) with { Decision = InsurerDecision.PaidPart }));
        Assert.Equal("title-unchanged", ABat().Given(Report, Settle(Owner)).Refused(Settle(Insurer)));
    }

    [Fact]
    public void A_settlement_is_for_an_incident_and_an_incident_on_a_hand_over()
    {
        Assert.Equal("no-such-incident", ABat().Given(BaselineTaken).Refused(Settle(Owner)));
        Assert.Equal("no-such-handover", ABat().Refused(Report with { Handover = 1 }));
        ABat().Given(Release(House, Owner), Report with { Handover = 2 });
    }

    [Fact]
    public void A_destroyed_bat_is_still_paid_for() =>
        ABat().Given(Report, new DestroyBat(DestructionCause.Fire, 2, null, null, null) { By = House }, Settle(Owner));
}
