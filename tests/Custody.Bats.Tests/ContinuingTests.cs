using static Custody.Bats.Tests.Cast;

namespace Custody.Bats.Tests;

public class ContinuingTests
{
    static Reference There(long n) =>
        new("far.example", StreamName.Parse("bat/" + new string('7', 25) + "0"), n, new string('B', 42) + "A");

    static readonly CheckpointAt Checkpoint = new(40, new string('C', 42) + "A");

    static ContinueFrom From(long n) => new(There(n), Checkpoint) { By = House };

    static ContinueIn In(long n) => new(There(n), Checkpoint) { By = House };

    [Fact]
    public void A_history_goes_on_from_another_ledgers() => Assert.False(ABat().Given(From(9)).State.Continuations.ByEntry[2].Onward);

    [Fact]
    public void Once_it_goes_on_elsewhere_title_and_custody_move_there_and_not_here()
    {
        var story = ABat().Given(In(9));
        Assert.Equal("continued-elsewhere", story.Refused(Release(House, Owner)));
        Assert.Equal("continued-elsewhere", story.Refused(
            new AcquireBat(AcquisitionKind.Gift, [new(Buyer, Fraction.Whole)], AssertionBasis.Document, null, null, null,
                null)
            { By = Owner }));
        Assert.Equal("continued-elsewhere", story.Refused(In(10)));
    }

    [Fact]
    public void Once_it_goes_on_elsewhere_it_is_not_consigned_offered_or_sold_here()
    {
        var sale = Trade.Sale();
        var story = new Story<Bat>().Citing(sale).Given(Trade.Registered(), In(9));
        Assert.Contains(story.When(Trade.Consigned()), r => r.Code == "continued-elsewhere");
        Assert.Contains(story.When(Trade.Offered(sale, by: Trade.Owner, house: Trade.Owner)), r => r.Code == "continued-elsewhere");
        Assert.Contains(story.When(Trade.Privately(Trade.Owner, Trade.Buyer)), r => r.Code == "continued-elsewhere");
    }

    [Fact]
    public void What_does_not_move_it_stays_possible() => ABat().Given(HoldOn(HoldScope.Offer), In(9), BaselineTaken,
        new LiftHold(2, HoldEnd.MatterSettled, AssertionBasis.None, null, null) { By = House });

    [Fact]
    public void Continuing_from_there_again_brings_it_back() => ABat().Given(In(9), From(30), Release(House, Owner));

    [Fact]
    public void A_bat_on_its_way_does_not_go_on_elsewhere() =>
        Assert.Equal("in-transit", ABat().Given(Release(House, Owner)).Refused(In(9)));

    [Fact]
    public void An_earlier_entry_of_the_same_history_adds_nothing() =>
        Assert.Equal("already-continued", ABat().Given(From(9)).Refused(From(9)));

    [Fact]
    public void It_is_another_ledger_a_bat_and_a_checkpoint()
    {
        Assert.Equal("same-ledger", ABat().Refused(From(9) with { Earlier = There(9) with { Ledger = null } }));
        Assert.Equal("same-ledger", ABat().Refused(From(9) with { Earlier = There(9) with { Ledger = "ledger.example" } }));
        Assert.Equal("not-an-entry",
            ABat().Refused(In(9) with { Later = There(9) with { Stream = StreamName.Parse("sale/" + new string('7', 25) + "0") } }));
        Assert.Equal("not-a-checkpoint", ABat().Refused(In(9) with { Checkpoint = Checkpoint with { Size = 0 } }));
        Assert.Equal("not-a-checkpoint", ABat().Refused(In(9) with { Checkpoint = Checkpoint with { Root = "a root" } }));
        Assert.Equal("not-a-checkpoint", ABat().Refused(In(9) with { Checkpoint = Checkpoint with { Root = new string('C', 42) + "B" } }));
    }
}
