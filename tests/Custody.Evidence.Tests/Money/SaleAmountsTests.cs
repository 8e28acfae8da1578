namespace Custody.Evidence.Tests.Money;

public class SaleAmountsTests
{
    static Evidence.Money Usd(string amount) => Evidence.Money.Parse(amount, "USD");

    [Theory]
    [InlineData("1000.00", "200.00", "72.00", "1272.00", null)]
    [InlineData("1000.00", "200.00", "72.00", "1302.00", null)] // a fee may come on top
    [InlineData("1000.00", null, null, "1000.00", null)]
    [InlineData("1000.00", null, null, null, null)]
    [InlineData("1000.00", "200.00", "72.00", "1271.99", "total-below-its-lines")]
    [InlineData("0.00", null, null, "0.00", "premium-hammer")]
    [InlineData("-5.00", null, null, null, "premium-hammer")]
    public void Amounts_among_themselves(string hammer, string? premium, string? tax, string? total, string? code) => Assert.Equal(
        code, SaleAmounts.Contradiction(Usd(hammer), premium is null ? null : Usd(premium), tax is null ? null : Usd(tax), total is null ? null : Usd(total))?.Code);

    [Fact]
    public void Two_currencies_do_not_add_up() =>
        Assert.Equal("premium-currency", SaleAmounts.Contradiction(Usd("1000.00"), null, null, Evidence.Money.Parse("1000.00", "EUR"))?.Code);
}
