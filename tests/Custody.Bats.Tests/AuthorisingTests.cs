using Custody.Evidence;
using static Custody.Bats.Tests.Cast;

namespace Custody.Bats.Tests;

public class AuthorisingTests
{
    static EndAuthority End(PartyId by, AssertionBasis basis = AssertionBasis.HoldersWord) =>
        new(2, AuthorityEnd.Revoked, basis, null, null) { By = by };

    static Story<Bat> Authorised => ABat().Given(Authorise(House, Agent, House, AuthorisedAct.Release));

    [Fact]
    public void The_one_acted_for_gives_authority_on_their_word() => Assert.True(Authorised.State.Authorities.ByEntry.ContainsKey(2));

    [Fact]
    public void Nobody_authorises_themselves_on_their_own_word() =>
        Assert.Equal("authority-unproven", ABat().Refused(Authorise(Agent, Agent, House, AuthorisedAct.Release)));

    [Fact]
    public void A_document_or_court_order_does() =>
        ABat().Given(Authorise(Agent, Agent, Owner, AuthorisedAct.PassTitle, AssertionBasis.CourtOrder));

    [Fact]
    public void An_authority_names_two_people_and_an_act()
    {
        Assert.Equal("authority-over-oneself", ABat().Refused(Authorise(House, House, House, AuthorisedAct.Sell)));
        Assert.Equal("no-acts", ABat().Refused(Authorise(House, Agent, House, AuthorisedAct.Sell) with { Acts = [] }));
    }

    [Fact]
    public void An_authority_counts_between_its_dates_only()
    {
        var story = ABat().Given(Authorise(House, Agent, House, AuthorisedAct.Release) with
        {
            From = Edtf.Parse("2024-04-01"),
            Until = Edtf.Parse("2024-04-30")
        });
        Assert.Equal("not-custodian", story.Refused(Release(Agent, Owner)));
        Assert.Equal("not-custodian", story.At("2024-05-02").Refused(Release(Agent, Owner)));
        var inTime = ABat().Given(Authorise(House, Agent, House, AuthorisedAct.Release) with
        {
            From = Edtf.Parse("2024-04-01"),
            Until = Edtf.Parse("2024-04-30")
        });
        inTime.At("2024-04-15").Given(Release(Agent, Owner));
    }

    [Fact]
    public void Its_end_is_not_before_its_beginning() =>
        Assert.Equal("ends-before-it-begins", ABat().Refused(
            Authorise(House, Agent, House, AuthorisedAct.Release) with { From = Edtf.Parse("2024-04"), Until = Edtf.Parse("2024-03") }));

    [Fact]
    public void An_ended_authority_counts_no_more()
    {
        var story = Authorised.Given(End(Agent));
        Assert.Equal("not-custodian", story.Refused(Release(Agent, Owner)));
        Assert.Equal("authority-ended", story.Refused(End(House)));
    }

    [Fact]
    public void It_is_ended_by_either_of_the_two_or_on_a_document()
    {
        Assert.Equal("not-yours-to-end", Authorised.Refused(End(Stranger)));
        Authorised.Given(End(Stranger, AssertionBasis.Document));
        Assert.Equal("no-such-authority", ABat().Refused(End(House)));
    }
}
