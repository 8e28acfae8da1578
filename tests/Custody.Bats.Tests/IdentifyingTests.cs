using Custody.Evidence;
using static Custody.Bats.Tests.Cast;

namespace Custody.Bats.Tests;

public class IdentifyingTests
{
    static CheckIdentity Check(long baseline, IdentityResult result) =>
        new(baseline, result, CheckOccasion.StockTaking, null, null, null, null) { By = House };

    [Fact]
    public void A_baseline_pictures_every_fixed_view_and_measures()
    {
        Assert.True(ABat().Given(BaselineTaken).State.Identity.Baselines.ContainsKey(2));
        Assert.Equal("view-missing",
            ABat().Refused(BaselineTaken with { Views = [.. BaselineTaken.Views.Where(v => v.View != FixedView.Grain)] }));
        Assert.Equal("girth-missing", ABat().Refused(BaselineTaken with { Girths = [] }));
    }

    [Fact]
    public void Its_measures_are_possible()
    {
        Assert.Equal("wrong-unit", ABat().Refused(BaselineTaken with { Weight = Inches("32") }));
        Assert.Equal("not-above-zero", ABat().Refused(BaselineTaken with { Weight = Quantity.Parse("0", "[oz_av]") }));
        Assert.Equal("position-off-bat", ABat().Refused(BaselineTaken with { Girths = [new(Inches("34.5"), Inches("8"))] }));
        Assert.Equal("not-above-zero", ABat().Refused(BaselineTaken with { Girths = [new(Inches("6"), Inches("-3"))] }));
    }

    [Fact]
    public void A_check_is_against_a_baseline_and_its_last_result_counts()
    {
        var story = ABat().Given(BaselineTaken, Check(2, IdentityResult.Different), Check(2, IdentityResult.CannotTell));
        Assert.True(story.State.Identity.InDoubt(story.State.Corrections));
        story.Given(Check(2, IdentityResult.SameButChanged));
        Assert.False(story.State.Identity.InDoubt(story.State.Corrections));
    }

    [Fact]
    public void There_is_no_check_without_a_baseline_or_without_a_result()
    {
        Assert.Equal("no-such-baseline", ABat().Refused(Check(1, IdentityResult.Same)));
        Assert.Equal("nothing-checked", ABat().Given(BaselineTaken).Refused(Check(2, IdentityResult.NotChecked)));
        Assert.Equal("not-above-zero", ABat().Given(BaselineTaken).Refused(Check(2, IdentityResult.Same) with { Length = Inches("0") }));
    }

    static DestroyBat Destroy(PartyId by, long? incident = null) => new(DestructionCause.Fire, incident, null, null, null) { By = by };

    static ReopenRecord Reopen(long ending) => new(ending, ReopenReason.FoundIntact, null) { By = House };

    [Fact]
    public void A_destroyed_bats_record_ends_but_what_was_begun_is_finished()
    {
        var story = ABat().Given(ClaimBy(Stranger, ClaimKind.Lien), HoldOn(HoldScope.Sell), Destroy(House));
        Assert.Equal("bat-destroyed", story.Refused(Release(House, Owner)));
        story.Given(
            new ResolveClaim(2, ClaimOutcome.Agreed, AssertionBasis.Document, null, null, null) { By = House },
            new LiftHold(3, HoldEnd.GroundFellAway, AssertionBasis.None, null, null) { By = House });
        Assert.Equal("bat-destroyed", story.Refused(Destroy(House)));
    }

    [Fact]
    public void What_was_under_way_when_it_was_destroyed_still_arrives() =>
        ABat().Given(Release(House, Owner), Destroy(Owner), Receive(Owner, 2));

    [Fact]
    public void Destruction_is_recorded_by_who_has_it_or_whose_it_is_said_to_be()
    {
        ABat().Given(Destroy(Owner));
        Assert.Equal("not-in-your-hands", ABat().Refused(Destroy(Stranger)));
        Assert.Equal("no-such-incident", ABat().Refused(Destroy(House, incident: 1)));
    }

    [Fact]
    public void A_record_that_ended_in_error_is_reopened()
    {
        var story = ABat().Given(Destroy(House));
        Assert.Equal("no-such-ending", story.Refused(Reopen(1)));
        story.Given(Reopen(2), Release(House, Owner));
        Assert.Equal("not-ended", story.Refused(Reopen(2)));
    }

    [Fact]
    public void A_voided_registration_is_not_reopened() =>
        Assert.Equal("registration-voided", ABat().Given(new VoidRegistration(VoidReason.NotABat, null) { By = House }).Refused(Reopen(2)));
}
