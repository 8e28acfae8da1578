using System.Diagnostics.CodeAnalysis;

namespace Custody.Evidence;

/// <summary>An amount and its currency, exact; never more digits than the currency has.</summary>
public sealed record Money
{
    Money(DecimalText amount, Currency currency)
    {
        Amount = amount;
        Currency = currency;
    }

    /// <summary>The amount, as written.</summary>
    public DecimalText Amount { get; }

    /// <summary>The currency.</summary>
    public Currency Currency { get; }

    /// <summary>
    /// Reads an amount. Refuses <c>decimal-form</c>, <c>decimal-too-long</c>, <c>money-currency</c>, <c>money-minor-unit</c>, and
    /// <c>money-negative</c> unless a balance is being read.
    /// </summary>
    public static bool TryParse(string? amount, string? currency, [NotNullWhen(true)] out Money? money,
        [NotNullWhen(false)] out EvidenceRefusal? refusal, bool allowNegative = false)
    {
        money = null;
        if (!DecimalText.TryParse(amount, out var number, out refusal))
            return false;
        if (Currency.Find(currency) is not { } known)
            refusal = new("money-currency", $"\"{currency}\" is not a currency code.", "Use the three capital letters of ISO 4217, such as USD.");
        else if (number.Scale > known.MinorDigits)
            refusal = new("money-minor-unit", $"{known.Code} has {known.MinorDigits} digits after the point.", "Write the amount with no more digits than that.");
        else if (number.Sign < 0 && !allowNegative)
            refusal = new("money-negative", "The amount is negative.", "Give the amount without a sign and say who pays whom.");
        else
            money = new Money(number, known);
        return money is not null;
    }

    /// <summary>Reads an amount, also a negative one; throws <see cref="FormatException"/> where <see cref="TryParse"/> would refuse.</summary>
    public static Money Parse(string amount, string currency) =>
        TryParse(amount, currency, out var money, out var refusal, allowNegative: true) ? money : throw new FormatException($"{refusal.Code}: {refusal.Sentence}");

    /// <summary>An exact number rounded once to the currency's minor unit.</summary>
    public static Money Rounded(DecimalText exact, Currency currency, Rounding rounding) => new(exact.Round(currency.MinorDigits, rounding), currency);

    /// <summary>The sum. Both are in one currency.</summary>
    /// <exception cref="ArgumentException">Two currencies; nothing here converts one into another.</exception>
    public static Money operator +(Money a, Money b) => new(a.Amount + Same(a, b).Amount, a.Currency);

    /// <summary>The difference. Both are in one currency.</summary>
    /// <exception cref="ArgumentException">Two currencies.</exception>
    public static Money operator -(Money a, Money b) => new(a.Amount - Same(a, b).Amount, a.Currency);

    /// <inheritdoc/>
    public override string ToString() => $"{Amount} {Currency.Code}";

    static Money Same(Money a, Money b) =>
        a.Currency == b.Currency ? b : throw new ArgumentException($"{a.Currency.Code} and {b.Currency.Code} do not add up.", nameof(b));
}
