namespace Custody.Ledger.Tests;

public sealed class DossierTests : IDisposable
{
    readonly TestLedger ledger = new();

    public void Dispose() => ledger.Dispose();

    static string Outcomes(Report report) => string.Join(' ', report.Checks.Select(c => $"{c.Number}:{c.Result}"));

    [Fact]
    public void A_good_dossier_fails_nothing_and_says_what_it_cannot_tell()
    {
        var report = TestDossier.Check(TestDossier.Good(ledger), ledger.Key.Verifier);
        Assert.Equal(
            "1:Passed 2:Passed 3:Passed 4:Passed 5:Passed 6:OnHousesWord 7:Passed 8:Passed 9:NotChecked 10:Passed 11:Passed 12:Passed 13:NotChecked 14:OnHousesWord",
            Outcomes(report));
        Assert.True(report.IsVouched);
    }

    [Fact]
    public void The_same_request_under_the_same_checkpoint_gives_the_same_bytes()
    {
        using TestLedger again = new();
        Assert.Equal(TestDossier.Good(ledger), TestDossier.Good(again));
    }
}
