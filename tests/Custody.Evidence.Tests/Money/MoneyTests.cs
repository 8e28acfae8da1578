namespace Custody.Evidence.Tests.Money;

public class MoneyTests
{
    // ISO 4217, minor units: most currencies have two digits, some none, some three.
    [Theory]
    [InlineData("1250", "USD", 2)]
    [InlineData("1250.5", "EUR", 2)]
    [InlineData("1250.50", "GBP", 2)]
    [InlineData("150000", "JPY", 0)]
    [InlineData("1.125", "KWD", 3)]
    [InlineData("800", "DEM", 2)]
    [InlineData("0", "CAD", 2)]
    public void An_amount_has_a_currency_and_no_more_digits_than_it(string amount, string currency, int digits)
    {
        Assert.True(Evidence.Money.TryParse(amount, currency, out var money, out _));
        Assert.Equal((amount, digits), (money.Amount.Text, money.Currency.MinorDigits));
    }

    [Theory]
    [InlineData("1250", "usd", "money-currency")]
    [InlineData("1250", "$", "money-currency")]
    [InlineData("1250", "XTS", "money-currency")]
    [InlineData("1250", "XAU", "money-currency")]
    [InlineData("1250", null, "money-currency")]
    [InlineData("1250.505", "USD", "money-minor-unit")]
    [InlineData("1250.0", "JPY", "money-minor-unit")]
    [InlineData("-1", "USD", "money-negative")]
    [InlineData("1,250", "USD", "decimal-form")]
    public void Anything_else_is_refused_by_name(string amount, string? currency, string code)
    {
        Assert.False(Evidence.Money.TryParse(amount, currency, out _, out var refusal));
        Assert.Equal(code, refusal.Code);
    }

    [Fact]
    public void A_balance_may_be_negative_when_asked_for() =>
        Assert.True(Evidence.Money.TryParse("-1.50", "USD", out _, out _, allowNegative: true));

    [Fact]
    public void Two_currencies_do_not_add_up() =>
        Assert.Throws<ArgumentException>(() => Evidence.Money.Parse("1", "USD") + Evidence.Money.Parse("1", "EUR"));

    [Fact]
    public void Every_code_is_three_capital_letters_and_occurs_once()
    {
        Assert.All(Currency.Known, c => Assert.True(c.Code.Length == 3 && c.Code.All(char.IsAsciiLetterUpper)));
        Assert.Equal(155, Currency.Known.Count(c => !c.IsHistoric));
    }
}
