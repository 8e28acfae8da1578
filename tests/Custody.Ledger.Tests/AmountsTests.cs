using Custody.Bats;
using Custody.Evidence;

namespace Custody.Ledger.Tests;

/// <summary>Check 15: the amounts of a sale, as far as a dossier shows them.</summary>
public class AmountsTests
{
    static readonly PartyId Buyer = TestLedger.Party('C');

    static SellBat Sold(string total) => new(
        SaleChannel.PrivateTreaty, null, null, TestDossier.Owner, Buyer, TitlePassing.OnSale, Money.Parse("8000.00", "USD"), Money.Parse("100.00", "USD"), null,
        Money.Parse(total, "USD"), null, null, null, null)
    { By = TestDossier.Owner };

    static Check Looked(string total, params string[] shown)
    {
        using TestLedger ledger = new();
        // The doorway would refuse a total below its lines; a house that keeps its own books need not ask its doorway.
        var bat = TestDossier.Life(ledger).Do(Sold(total));
        return TestDossier.Check(TestDossier.Packed(TestDossier.Request(ledger.Contents(bat), shown.Length == 0 ? [] : bat.Show(shown)))).Checks[14];
    }

    [Fact]
    public void Amounts_that_nobody_is_shown_are_not_checked() =>
        Assert.Equal((15, CheckResult.NotChecked), (Looked("8100.00").Number, Looked("8100.00").Result));

    [Fact]
    public void Shown_amounts_are_added_up()
    {
        Assert.Equal((CheckResult.Passed, "The amounts of 1 sale add up."), Looked("8100.00", "hammer", "premium", "total") is var good ? (good.Result, good.Reason) : default);
        var check = Looked("8050.00", "hammer", "premium", "total");
        Assert.Equal(CheckResult.Failed, check.Result);
        Assert.StartsWith("The total of the sale of entry 5 does not add up.", check.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void A_wrong_total_that_is_not_shown_is_not_checked() => Assert.Equal(CheckResult.NotChecked, Looked("8050.00", "hammer", "premium").Result);
}
