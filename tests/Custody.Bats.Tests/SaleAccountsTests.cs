using Custody.Evidence;
using static Custody.Bats.Tests.Trade;

namespace Custody.Bats.Tests;

/// <summary>The arithmetic of sales against the terms they were held under; every figure worked by hand.</summary>
public class SaleAccountsTests
{
    static Money Usd(string amount) => Money.Parse(amount, "USD");

    // 25 % up to 100,000 and 20 % above, online 3 %, tax 8 % on premium and fee, at least 50.00.
    static readonly SaleTerms Whole = Terms() with { Charges = new(Quantity.Parse("3", "%"), Quantity.Parse("8", "%"), TaxBase.Charges, Rounding.HalfAwayFromZero, Usd("50.00")) };

    static Entry Announced(SaleTerms terms) => new Story<Sale>("sale").Given(new AnnounceSale(terms) { By = House }).Entries[0];

    static SellBat Sold(Entry sale, string hammer, string? premium, string? tax, string? total) => Hammered(sale, 3) with
    {
        Hammer = Usd(hammer),
        Premium = premium is null ? null : Usd(premium),
        Tax = tax is null ? null : Usd(tax),
        Total = total is null ? null : Usd(total),
    };

    static SaleAccount Account(SaleTerms terms, string hammer, string? premium, string? tax, string? total, bool erased = false, bool held = true)
    {
        var sale = Announced(terms);
        var story = AtTheHouse(sale).Given(Offered(sale), Sold(sale, hammer, premium, tax, total));
        var entries = erased ? [.. story.Entries.Select(Erased.Copy)] : story.Entries;
        return Assert.Single(History.Of(entries).AsCorrected().Accounts(r => held && r == sale.Reference ? (ISaleTerms)(erased ? Erased.Copy(sale) : sale).Fact : null));
    }

    [Theory]
    // Room: 8,000 + 2,000 + 160 = 10,160. Online: 240 more, and 19.20 tax on it.
    [InlineData("8000.00", "2000.00", "160.00", "10160.00", false)]
    [InlineData("8000.00", "2000.00", "179.20", "10419.20", true)]
    // Over the band: 25,000 on the first 100,000 and 10,000 on the next 50,000; tax 2,800.
    [InlineData("150000.00", "35000.00", "2800.00", "187800.00", false)]
    // The least premium: 50.00 and 4.00 tax.
    [InlineData("100.00", "50.00", "4.00", "154.00", false)]
    public void What_the_terms_give_adds_up(string hammer, string premium, string tax, string total, bool online)
    {
        var account = Account(Whole, hammer, premium, tax, total);
        Assert.Equal((AmountStanding.AddsUp, online), (account.Standing, account.Online));
        Assert.Equal(total, account.Buyer!.Total.Amount.Text);
    }

    [Theory]
    [InlineData("8000.00", "2000.01", "160.00", "10160.01")]
    [InlineData("8000.00", "2000.00", "160.00", "10160.01")]
    [InlineData("8000.00", "2000.00", "160.00", "10160.00", "10200.00")]
    [InlineData("8000.00", "2000.00", "160.00", "10159.99")]
    public void One_cent_off_does_not(string hammer, string premium, string tax, string total, string? instead = null) =>
        Assert.Equal(AmountStanding.DoesNotAddUp, Account(Whole, hammer, premium, tax, instead ?? total).Standing);

    [Fact]
    public void Terms_that_state_bands_alone_condemn_nobody()
    {
        Assert.Equal(AmountStanding.AddsUp, Account(Terms(), "8000.00", "2000.00", null, "10000.00").Standing);
        // A least premium may stand in the printed conditions, a fee in the total.
        Assert.Equal(AmountStanding.NotChecked, Account(Terms(), "100.00", "50.00", null, "150.00").Standing);
        Assert.Equal(AmountStanding.NotChecked, Account(Terms(), "8000.00", "2000.00", "0.00", "10240.00").Standing);
        Assert.Equal(AmountStanding.DoesNotAddUp, Account(Terms(), "8000.00", "2000.00", null, "9999.99").Standing);
    }

    [Fact]
    public void What_is_not_shown_is_not_checked()
    {
        Assert.Equal(AmountStanding.NotChecked, Account(Whole, "8000.00", "2000.01", "160.00", "99999.00", erased: true).Standing);
        Assert.Equal(AmountStanding.NotChecked, Account(Whole, "8000.00", "2000.00", "160.00", "10160.00", held: false).Standing);
        Assert.Equal(AmountStanding.NotChecked, Account(Whole, "8000.00", "2000.00", "160.00", null).Standing);
    }

    [Fact]
    public void The_consignors_share_is_the_price_less_his_commission()
    {
        var account = Account(Whole, "8000.00", "2000.00", "160.00", "10160.00");
        Assert.Equal(("800.00", "7200.00"), (account.Consignor!.Commission.Amount.Text, account.Consignor.Share.Amount.Text));
        Assert.Equal(0, Premium.Balance(account.Buyer!, account.Consignor).Amount.Sign);
        var sale = Announced(Whole);
        var several = AtTheHouse(sale).Given(Offered(sale) with { Bats = 2 }, Sold(sale, "8000.00", "2000.00", "160.00", "10160.00"));
        Assert.Null(Assert.Single(History.Of(several.Entries).AsCorrected().Accounts(_ => null)).Consignor);
    }

    [Fact]
    public void Another_currency_is_refused_by_name()
    {
        var sale = Announced(Whole);
        var story = AtTheHouse(sale).Given(Offered(sale), Hammered(sale, 3) with { Hammer = Money.Parse("8000.00", "EUR"), Premium = null, Total = null });
        Assert.Equal("premium-currency", Assert.Single(History.Of(story.Entries).AsCorrected().Accounts(_ => (ISaleTerms)sale.Fact)).Refused!.Code);
        Assert.Equal("premium-currency", Assert.Single((Hammered(sale, 3) with { Total = Money.Parse("10000.00", "EUR") }).Unfit).Code);
        Assert.Equal("total-below-its-lines", Assert.Single((Hammered(sale, 3) with { Total = Usd("9999.99") }).Unfit).Code);
        Assert.Empty(Hammered(sale, 3).Unfit);
    }

    [Fact]
    public void Bands_that_leave_a_price_without_a_rate_are_refused_at_the_door()
    {
        Assert.Equal("bands-gap", Unfit(new PremiumStep(Percent("20"), Usd("100.00")), new PremiumStep(Percent("10"), Usd("500.00"))));
        Assert.Equal("bands-backwards", Unfit(new PremiumStep(Percent("20"), null), new PremiumStep(Percent("15"), Usd("900.00")), new PremiumStep(Percent("10"), Usd("500.00"))));
        Assert.Equal("bands-overlap", Unfit(new PremiumStep(Percent("20"), null), new PremiumStep(Percent("10"), null)));
        Assert.Equal("bands-rate", Unfit(new PremiumStep(Percent("101"), null)));
        Assert.Equal("premium-currency", Unfit(new PremiumStep(Percent("20"), null), new PremiumStep(Percent("10"), Money.Parse("500.00", "EUR")), new PremiumStep(Percent("5"), Usd("900.00"))));
        Assert.Equal("premium-minimum-above-cap", Assert.Single(new AnnounceSale(Terms() with { Charges = new(Minimum: Usd("9.00"), Maximum: Usd("8.00")) }) { By = House }.Unfit).Code);
        Assert.Empty(new AnnounceSale(Whole) { By = House }.Unfit);
        Assert.Empty(new AnnounceSale(Terms() with { PremiumRule = PremiumRule.None, Premium = null }) { By = House }.Unfit);

        static string Unfit(params PremiumStep[] steps) => Assert.Single(new ChangeTerms(Terms() with { Premium = steps }) { By = House }.Unfit).Code;
        static Quantity Percent(string rate) => Quantity.Parse(rate, "%");
    }

    [Fact]
    public void Charges_are_rates_and_tax_says_on_what()
    {
        Assert.IsType<SaleAnnounced2>(Announced(Whole).Fact);
        Assert.IsType<SaleAnnounced>(Announced(Terms()).Fact);
        Assert.Equal("charge-rate", Refused(new(OnlineFee: Usual("101"))));
        Assert.Equal("tax-unclear", Refused(new(Tax: Usual("8"))));
        Assert.Equal("tax-unclear", Refused(new(TaxOn: TaxBase.Everything)));
        Assert.IsType<SaleTermsChanged2>(new Story<Sale>("sale").Given(new AnnounceSale(Terms()) { By = House }, new ChangeTerms(Whole) { By = House }).Entries[1].Fact);

        static string Refused(ChargesStated charges) => new Story<Sale>("sale").Refused(new AnnounceSale(Terms() with { Charges = charges }) { By = House });
        static Quantity Usual(string rate) => Quantity.Parse(rate, "%");
    }
}
