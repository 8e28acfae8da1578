using Custody.Evidence;
using static Custody.Bats.Tests.Trade;

namespace Custody.Bats.Tests;

public class SaleStreamTests
{
    static AnnounceSale Announced(SaleTerms? terms = null) => new(terms ?? Terms()) { By = House };

    static readonly OpenSale Open = new() { By = House };
    static readonly CloseSale Close = new() { By = House };
    static readonly CallOffSale CallOff = new(CallOffGround.TooFewLots, null) { By = House };

    static Story<Sale> Story(params SaleCommand[] commands) => new Story<Sale>("sale").Given(commands);

    [Fact]
    public void A_sale_is_announced_opened_and_closed() => Assert.Equal(SaleEventStanding.Closed, Story(Announced(), Open, Close).State.Standing);

    [Fact]
    public void Terms_change_until_the_first_lot_comes_up_and_not_after()
    {
        var change = new ChangeTerms(Terms(TitlePassing.OnDelivery)) { By = House };
        Assert.Equal(2, Story(Announced(), change).State.Terms);
        Assert.Equal("sale-begun", Story(Announced(), Open).Refused(change));
        Assert.Equal("sale-over", Story(Announced(), Open, Close).Refused(change));
    }

    [Fact]
    public void Nothing_happens_to_a_sale_that_was_not_announced() =>
        Assert.All<SaleCommand>([Open, Close, CallOff], c => Assert.Equal("sale-not-announced", Story().Refused(c)));

    [Fact]
    public void A_sale_is_announced_once() => Assert.Equal("sale-not-open", Story(Announced()).Refused(Announced()));

    [Fact]
    public void A_sale_closes_only_when_open_and_is_called_off_only_before_its_end()
    {
        Assert.Equal("sale-not-open", Story(Announced()).Refused(Close));
        Assert.Empty(Story(Announced(), Open).When(CallOff));
        Assert.Equal("sale-over", Story(Announced(), Open, Close).Refused(CallOff));
        Assert.Equal("sale-over", Story(Announced(), CallOff).Refused(Open));
    }

    [Fact]
    public void Premium_bands_and_their_rule_fit()
    {
        Assert.Equal("premium-unclear", Story().Refused(Announced(Terms() with { PremiumRule = PremiumRule.None })));
        Assert.Equal("premium-unclear", Story().Refused(Announced(Terms() with { Premium = null })));
        Assert.Equal("premium-rate", Story().Refused(Announced(Terms() with { Premium = [new(Quantity.Parse("25", "[in_i]"), null)] })));
        Assert.Equal("premium-rate", Story().Refused(Announced(Terms() with { Premium = [new(Quantity.Parse("-1", "%"), null)] })));
        Assert.Equal("payment-days", Story().Refused(Announced(Terms() with { PaymentDays = -1 })));
    }

    [Fact]
    public void A_sales_own_entries_name_no_lot_bat_or_party()
    {
        var facts = typeof(Fact).Assembly.GetTypes().Where(t => t.IsAssignableTo(typeof(SaleFact)) && !t.IsAbstract).ToList();
        Assert.Equal(7, facts.Count);
        Assert.All(facts.SelectMany(Shapes.Of), member => Assert.DoesNotContain(
            member.PropertyType, new[] { typeof(Alias), typeof(Alias?), typeof(long), typeof(long?), typeof(Reference), typeof(StreamName) }));
    }
}
