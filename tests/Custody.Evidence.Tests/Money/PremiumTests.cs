namespace Custody.Evidence.Tests.Money;

/// <summary>Tables worked by hand with pencil and paper; the working stands beside each row.</summary>
public class PremiumTests
{
    static readonly Currency Usd = Currency.Find("USD")!;

    static Evidence.Money M(string amount) => Evidence.Money.Parse(amount, "USD");

    static DecimalText D(string number) => DecimalText.Parse(number);

    static Band B(string from, string? to, string percent) => new(D(from), to is null ? null : D(to), D(percent));

    static BandTable Table(BandReading reading, params Band[] bands) =>
        BandTable.TryCreate(bands, reading, out var table, out var refusal) ? table : throw new InvalidOperationException(refusal.Code);

    static readonly Band[] Steps = [B("0", "100000", "25"), B("100000", "1000000", "20"), B("1000000", null, "12.5")];

    [Theory]
    [InlineData(BandReading.Marginal, "1000", "250.00")] // 25 %
    [InlineData(BandReading.Marginal, "100000", "25000.00")] // 25 %
    [InlineData(BandReading.Marginal, "100001", "25000.20")] // 25000 + 20 % of 1
    [InlineData(BandReading.Marginal, "250000", "55000.00")] // 25000 + 20 % of 150000
    [InlineData(BandReading.Marginal, "1500000", "267500.00")] // 25000 + 180000 + 12.5 % of 500000
    [InlineData(BandReading.WholePrice, "100000", "25000.00")] // up to and including the limit
    [InlineData(BandReading.WholePrice, "100000.01", "20000.00")] // 20 % of all: 20000.002
    [InlineData(BandReading.WholePrice, "250000", "50000.00")]
    [InlineData(BandReading.WholePrice, "1500000", "187500.00")]
    public void Bands_are_read_as_the_terms_say(BandReading reading, string hammer, string premium)
    {
        var terms = new BuyerTerms(Table(reading, Steps), null, null, D("0"), D("0"), TaxBase.Nothing, Rounding.HalfAwayFromZero, Usd);
        Assert.True(Premium.TryCharge(terms, M(hammer), false, out var account, out _));
        Assert.Equal(premium, account.Premium.Amount.Text);
        Assert.Equal(M(hammer).Amount + account.Premium.Amount, account.Total.Amount);
    }

    // One band of 22.5 %, least 20, most 5000; online 3 %; tax 8.875 %.
    [Theory]
    [InlineData("50", false, TaxBase.Nothing, "20.00", "0.00", "0.00", "70.00")] // 11.25 is below the minimum
    [InlineData("88.88", false, TaxBase.Nothing, "20.00", "0.00", "0.00", "108.88")] // 19.998 is below the minimum
    [InlineData("88.90", false, TaxBase.Nothing, "20.00", "0.00", "0.00", "108.90")] // 20.0025
    [InlineData("1000", false, TaxBase.Charges, "225.00", "0.00", "19.97", "1244.97")] // 8.875 % of 225 = 19.96875
    [InlineData("1000", true, TaxBase.Charges, "225.00", "30.00", "22.63", "1277.63")] // 8.875 % of 255 = 22.63125
    [InlineData("1000", true, TaxBase.Everything, "225.00", "30.00", "111.38", "1366.38")] // 8.875 % of 1255 = 111.38125
    [InlineData("40000", true, TaxBase.Everything, "5000.00", "1200.00", "4100.25", "50300.25")] // 9000 is capped; 8.875 % of 46200
    [InlineData("333.33", true, TaxBase.Everything, "75.00", "10.00", "37.13", "455.46")] // 74.99925; 9.9999; 8.875 % of 418.33 = 37.1267875
    public void An_account_adds_up_from_lines_rounded_once(string hammer, bool online, TaxBase on, string premium, string fee, string tax, string total)
    {
        var terms = new BuyerTerms(Table(BandReading.Marginal, B("0", null, "22.5")), M("20"), M("5000"), D("3"), D("8.875"), on,
            Rounding.HalfAwayFromZero, Usd);
        Assert.True(Premium.TryCharge(terms, M(hammer), online, out var account, out _));
        Assert.Equal([premium, fee, tax, total],
            new[] { account.Premium, account.OnlineFee, account.Tax, account.Total }.Select(m => m.Amount.Text));
    }

    [Theory]
    [InlineData(Rounding.HalfAwayFromZero, "0.13")]
    [InlineData(Rounding.HalfToEven, "0.12")]
    [InlineData(Rounding.TowardsZero, "0.12")]
    [InlineData(Rounding.AwayFromZero, "0.13")]
    public void The_named_rounding_decides_a_half_cent(Rounding rounding, string premium)
    {
        var terms = new BuyerTerms(Table(BandReading.WholePrice, B("0", null, "12.5")), null, null, D("0"), D("0"), TaxBase.Nothing, rounding, Usd);
        Assert.True(Premium.TryCharge(terms, M("1"), false, out var account, out _)); // 0.125
        Assert.Equal(premium, account.Premium.Amount.Text);
    }

    [Theory]
    [InlineData("1000", "150.00", "850.00")] // 15 %
    [InlineData("12000", "1700.00", "10300.00")] // 1500 + 10 % of 2000
    [InlineData("100", "40.00", "60.00")] // 15 is below the minimum
    [InlineData("30", "40.00", "-10.00")] // the minimum exceeds the price: the consignor owes
    public void Commission_leaves_the_consignor_this_share(string hammer, string commission, string share)
    {
        var terms = new ConsignorTerms(Table(BandReading.Marginal, B("0", "10000", "15"), B("10000", null, "10")), M("40"), Rounding.HalfAwayFromZero, Usd);
        Assert.True(Premium.TrySettle(terms, M(hammer), out var account, out _));
        Assert.Equal((commission, share), (account.Commission.Amount.Text, account.Share.Amount.Text));
    }

    [Fact]
    public void The_books_of_every_lot_balance_to_zero()
    {
        var buyer = new BuyerTerms(Table(BandReading.Marginal, Steps), M("20"), null, D("3"), D("19"), TaxBase.Everything, Rounding.HalfToEven, Usd);
        var consignor = new ConsignorTerms(Table(BandReading.WholePrice, Steps), M("40"), Rounding.HalfToEven, Usd);
        for (var cents = 1; cents < 30_000_000; cents = cents * 3 + 7)
        {
            var hammer = Evidence.Money.Rounded(DecimalText.Of(cents, 2), Usd, Rounding.HalfToEven);
            Assert.True(Premium.TryCharge(buyer, hammer, true, out var paid, out _));
            Assert.True(Premium.TrySettle(consignor, hammer, out var got, out _));
            Assert.Equal("0.00", Premium.Balance(paid, got).Amount.Text);
        }
    }

    [Fact]
    public void A_currency_without_cents_is_rounded_to_whole_units()
    {
        var yen = Currency.Find("JPY")!;
        var terms = new BuyerTerms(Table(BandReading.Marginal, B("0", null, "22.5")), null, null, D("0"), D("10"), TaxBase.Charges, Rounding.TowardsZero, yen);
        Assert.True(Premium.TryCharge(terms, Evidence.Money.Parse("99999", "JPY"), false, out var account, out _));
        Assert.Equal(("22499", "2249", "124747"), (account.Premium.Amount.Text, account.Tax.Amount.Text, account.Total.Amount.Text)); // 22499.775; 2249.9
    }

    public static TheoryData<string, string> BadTables => new()
    {
        { "bands-empty", "" },
        { "bands-negative", "-1..10:5 10..:5" },
        { "bands-negative", "0..:-5" },
        { "bands-rate", "0..:101" },
        { "bands-backwards", "0..0:5 0..:5" },
        { "bands-backwards", "0..100:5 100..50:5 50..:5" },
        { "bands-gap", "1..:5" },
        { "bands-gap", "0..10:5 11..:5" },
        { "bands-gap", "0..10:5 10..20:5" },
        { "bands-overlap", "0..10:5 9..:5" },
        { "bands-overlap", "0..:5 10..:5" },
    };

    [Theory, MemberData(nameof(BadTables))]
    public void A_table_that_leaves_a_price_without_one_rate_is_refused(string code, string table)
    {
        var bands = table.Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(b => b.Split([".."], StringSplitOptions.None) is [var from, var rest]
            && rest.Split(':') is [var to, var rate] ? B(from, to.Length == 0 ? null : to, rate) : throw new FormatException(b)).ToArray();
        Assert.False(BandTable.TryCreate(bands, BandReading.Marginal, out _, out var refusal));
        Assert.Equal(code, refusal.Code);
    }

    [Fact]
    public void Terms_that_contradict_themselves_or_the_price_are_refused()
    {
        var good = new BuyerTerms(Table(BandReading.Marginal, Steps), null, null, D("0"), D("0"), TaxBase.Nothing, Rounding.HalfToEven, Usd);
        Assert.Equal("premium-currency", Charge(good, Evidence.Money.Parse("1", "EUR")));
        Assert.Equal("premium-currency", Charge(good with { Cap = Evidence.Money.Parse("1", "EUR") }, M("1")));
        Assert.Equal("premium-hammer", Charge(good, M("0")));
        Assert.Equal("premium-negative", Charge(good with { TaxPercent = D("-1") }, M("1")));
        Assert.Equal("premium-negative", Charge(good with { OnlineFeePercent = D("-1") }, M("1")));
        Assert.Equal("premium-negative", Charge(good with { Minimum = M("-1") }, M("1")));
        Assert.Equal("premium-minimum-above-cap", Charge(good with { Minimum = M("2"), Cap = M("1") }, M("1")));
        var seller = new ConsignorTerms(Table(BandReading.Marginal, Steps), M("-1"), Rounding.HalfToEven, Usd);
        Assert.False(Premium.TrySettle(seller, M("1"), out _, out var refusal));
        Assert.Equal("premium-negative", refusal.Code);
    }

    static string? Charge(BuyerTerms terms, Evidence.Money hammer) => Premium.TryCharge(terms, hammer, true, out _, out var refusal) ? null : refusal.Code;
}
