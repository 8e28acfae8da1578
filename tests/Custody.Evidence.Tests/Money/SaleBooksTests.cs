using FsCheck;
using FsCheck.Fluent;

namespace Custody.Evidence.Tests.Money;

public class SaleBooksTests
{
    static readonly Currency Usd = Currency.Find("USD")!;

    static Evidence.Money M(string amount) => Evidence.Money.Parse(amount, "USD");

    static DecimalText D(string number) => DecimalText.Parse(number);

    static BandTable Table(BandReading reading, params (string From, string? To, string Percent)[] bands) =>
        BandTable.TryCreate([.. bands.Select(b => new Band(D(b.From), b.To is null ? null : D(b.To), D(b.Percent)))], reading, out var table, out var refusal)
            ? table : throw new InvalidOperationException(refusal.Code);

    static readonly BuyerTerms Terms = new(
        Table(BandReading.Marginal, ("0", "1000", "25"), ("1000", null, "20")), M("20"), M("600"), D("3"), D("8"), TaxBase.Charges, Rounding.HalfAwayFromZero, Usd);

    static ConsignorTerms Commission(string percent) => new(Table(BandReading.WholePrice, ("0", null, percent)), null, Rounding.HalfAwayFromZero, Usd);

    [Fact]
    public void A_sale_of_three_lots_as_worked_by_hand()
    {
        // Lot 1: 500.00, saleroom, 15 %. Premium 125.00; tax 8 % of 125 = 10.00; total 635.00. Commission 75.00; share 425.00.
        // Lot 2: 2,000.00, online, 10 %. Premium 250 + 200 = 450.00; fee 60.00; tax 8 % of 510 = 40.80; total 2,550.80. Commission 200.00; share 1,800.00.
        // Lot 3: 4,000.00, online, 12.5 %. Premium 250 + 600 = 850, capped at 600.00; fee 120.00; tax 8 % of 720 = 57.60; total 4,777.60. Commission 500.00; share 3,500.00.
        Assert.True(SaleBooks.TryClose(
            Terms, [new(M("500"), false, Commission("15")), new(M("2000"), true, Commission("10")), new(M("4000"), true, Commission("12.5"))], out var books, out _));
        Assert.Equal(["635.00", "2550.80", "4777.60"], books.Lots.Select(l => l.Buyer.Total.Amount.Text));
        Assert.Equal(["425.00", "1800.00", "3500.00"], books.Lots.Select(l => l.Consignor.Share.Amount.Text));
        // Hammers 6,500; buyers 7,963.40; consignors 5,725.00; house 125 + 450 + 600 + 60 + 120 + 75 + 200 + 500 = 2,130.00; tax 108.40.
        Assert.Equal(("6500.00", "7963.40", "5725.00", "2130.00", "108.40", "0.00"),
            (books.Hammers.Amount.Text, books.BuyersPay.Amount.Text, books.ConsignorsGet.Amount.Text, books.HouseKeeps.Amount.Text, books.Tax.Amount.Text, books.Balance.Amount.Text));
    }

    [Fact]
    public void The_books_of_any_sale_balance_to_zero_under_any_terms()
    {
        var percent = Gen.Choose(0, 9999).Select(n => DecimalText.Of(n, 2));
        var table = from bands in Gen.Choose(1, 5)
                    from limits in Gen.ArrayOf(Gen.Choose(1, 5_000_000), bands - 1)
                    from rates in Gen.ArrayOf(percent, bands)
                    from reading in Gen.Elements(BandReading.Marginal, BandReading.WholePrice)
                    select Of(limits, rates, reading);
        var amount = Gen.Choose(1, 90_000_000).Select(cents => Evidence.Money.Rounded(DecimalText.Of(cents, 2), Usd, Rounding.HalfToEven));
        var rounding = Gen.Elements(Enum.GetValues<Rounding>());
        var terms = from premium in table
                    from least in Gen.Elements(null, M("20"), M("0"))
                    from most in Gen.Elements(null, M("20"), M("5000"))
                    from fee in percent
                    from tax in percent
                    from taxed in Gen.Elements(Enum.GetValues<TaxBase>())
                    from round in rounding
                    select new BuyerTerms(premium, least, most, fee, tax, taxed, round, Usd);
        var lot = from hammer in amount
                  from online in Gen.Elements(true, false)
                  from commission in table
                  from least in Gen.Elements(null, M("40"))
                  from round in rounding
                  select new LotSold(hammer, online, new ConsignorTerms(commission, least, round, Usd));
        var sale = from of in terms from count in Gen.Choose(1, 12) from lots in Gen.ArrayOf(lot, count) select (of, lots);
        Prop.ForAll(sale.ToArbitrary(), s =>
        {
            Assert.True(SaleBooks.TryClose(s.of, s.lots, out var books, out var refusal), refusal?.Code);
            Assert.Equal("0.00", books.Balance.Amount.Text);
            Assert.Equal(s.lots.Select(l => l.Hammer.Amount).Aggregate((a, b) => a + b).ToDouble(), books.Hammers.Amount.ToDouble());
            Assert.All(books.Lots, l => Assert.Equal("0.00", Premium.Balance(l.Buyer, l.Consignor).Amount.Text));
        }).QuickCheckThrowOnFailure();
    }

    static BandTable Of(int[] limits, DecimalText[] rates, BandReading reading)
    {
        DecimalText?[] ends = [.. limits.Distinct().Order().Select(l => DecimalText.Of(l, 2)), null];
        return BandTable.TryCreate([.. ends.Select((to, i) => new Band(i == 0 ? DecimalText.Zero : ends[i - 1]!, to, rates[i]))], reading, out var table, out var refusal)
            ? table : throw new InvalidOperationException(refusal.Code);
    }

    [Fact]
    public void A_lot_that_cannot_be_charged_closes_no_books()
    {
        Assert.Equal("sale-empty", Refused());
        Assert.Equal("premium-hammer", Refused(new LotSold(M("100"), true, Commission("10")), new LotSold(M("0"), true, Commission("10"))));
        Assert.Equal("premium-currency", Refused(new LotSold(Evidence.Money.Parse("1", "EUR"), true, Commission("10"))));
        Assert.Equal("premium-currency", Refused(new LotSold(M("1"), true, Commission("10") with { Currency = Currency.Find("EUR")! })));

        static string? Refused(params LotSold[] lots) => SaleBooks.TryClose(Terms, lots, out _, out var refusal) ? null : refusal.Code;
    }
}
