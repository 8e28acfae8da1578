using static Custody.Bats.Tests.Cast;

namespace Custody.Bats.Tests;

public class RegisteringTests
{
    static VoidRegistration Void(PartyId by) => new(VoidReason.NeverArrived, null) { By = by };

    [Fact]
    public void A_voided_registration_ends_the_record_and_stays_readable()
    {
        var story = ABat().Given(Void(House));
        Assert.Equal("2024-0001-X", story.State.Registration!.ShortNumber);
        Assert.Equal("registration-voided", story.Refused(Release(House, Owner)));
        Assert.Equal("registration-voided", story.Refused(Void(House)));
    }

    [Fact]
    public void Only_who_registered_or_keeps_it_voids_it() => Assert.Equal("not-yours-to-void", ABat().Refused(Void(Owner)));

    [Fact]
    public void Not_once_title_or_custody_has_moved() =>
        Assert.Equal("has-moved-since", ABat().Given(Release(House, Owner), Receive(Owner, 2)).Refused(Void(House)));

    [Fact]
    public void Not_to_leave_a_claim_a_hold_or_a_missing_report_behind()
    {
        Assert.Equal("claim-open", ABat().Given(ClaimBy(Stranger, ClaimKind.Lien)).Refused(Void(House)));
        Assert.Equal("hold-in-force", ABat().Given(HoldOn(HoldScope.Offer)).Refused(Void(House)));
        Assert.Equal("reported-missing", ABat().Given(new ReportMissing(MissingKind.Stolen, AssertionBasis.HoldersWord, null, null,
            null, null)
        { By = Owner })
            .Refused(Void(House)));
        Assert.Equal("consignment-open", Trade.AtTheHouse(Trade.Sale()).Refused(Void(House)));
    }

    [Fact]
    public void A_bat_is_registered_once() => Assert.Equal("already-registered", ABat().Refused(Registered));

    [Fact]
    public void Nothing_comes_before_the_registration() => Assert.Equal("bat-not-registered", new Story<Bat>().Refused(Void(House)));

    [Fact]
    public void Title_is_asserted_in_whole_shares_on_some_basis_or_not_at_all()
    {
        Assert.Equal("shares-not-whole", new Story<Bat>().Refused(Registered with { Title = [new(Owner, new(1, 2))] }));
        Assert.Equal("title-without-basis", new Story<Bat>().Refused(Registered with { TitleBasis = AssertionBasis.None }));
        Assert.Equal(TitleStanding.Unknown,
            new Story<Bat>().Given(Registered with { Title = [], TitleBasis = AssertionBasis.None }).State.Title.Standing);
    }
}
