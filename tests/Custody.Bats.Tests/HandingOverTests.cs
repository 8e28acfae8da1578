namespace Custody.Bats.Tests;

public class HandingOverTests
{
    static readonly PartyId Owner = Story<Bat>.Party('a');
    static readonly PartyId House = Story<Bat>.Party('b');

    static RegisterBat Registered(PartyId keeper) => new(
        "2024-0001-X", Arrival.BroughtIn, Owner, keeper, AssertionBasis.HouseRecord, [new(Owner, Fraction.Whole)], AssertionBasis.HoldersWord,
        "a bat", null, null) { By = House };

    static ReleaseBat Release(PartyId by, PartyId to, HandoverPurpose purpose = HandoverPurpose.Return) =>
        new(to, purpose, Attestation.Account, null, null, null, null, null, null, null, null) { By = by };

    [Fact]
    public void The_custodian_releases_and_the_bat_is_in_transit()
    {
        var story = new Story<Bat>().Given(Registered(House), Release(House, Owner));
        Assert.Null(story.State.Keeping.Custodian);
        Assert.Equal(2, story.State.Keeping.InTransit);
    }

    [Fact]
    public void Nobody_but_the_custodian_releases() =>
        Assert.Equal("not-custodian", new Story<Bat>().Given(Registered(House)).Refused(Release(Owner, House)));
}
