namespace Custody.Ledger.Tests;

public class MutationTests
{
    public static TheoryData<string> Names => [.. MutationCases.All.Keys];

    [Theory]
    [MemberData(nameof(Names))]
    public void Each_way_of_breaking_a_dossier_fails_its_own_check_and_no_other(string name)
    {
        var mutation = MutationCases.All[name];
        using Workshop workshop = new();
        var report = TestDossier.Check(mutation.Make(workshop), mutation.Key ?? workshop.Ledger.Key.Verifier, mutation.Label);
        var failed = report.Checks.Where(c => c.Result == CheckResult.Failed).ToList();
        Assert.True(
            failed.Select(c => c.Number).SequenceEqual(mutation.AlsoFails.Append(mutation.Check).Order()),
            "Failed: " + string.Join(" | ", failed.Select(c => $"{c.Number} {c.Reason}")) + "\nall:\n" + string.Join("\n", report.Checks.Select(c => $"{c.Number} {c.Result} {c.Reason}")));
    }
}
