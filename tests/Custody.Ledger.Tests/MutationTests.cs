using Custody.Transparency;

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
        var expected = new Expected([mutation.Key ?? workshop.Ledger.Key.Verifier], mutation.Label, TestDossier.Now) { Policy = mutation.Policy is null ? null : CosignPolicy.Parse(mutation.Policy.Bytes()), TimeRoots = mutation.TimeRoots };
        var report = Checker.Run(DossierReader.Read(new MemoryStream(mutation.Make(workshop))), expected);
        var failed = report.Checks.Where(c => c.Result == CheckResult.Failed).ToList();
        Assert.True(
            failed.Select(c => c.Number).SequenceEqual(mutation.AlsoFails.Append(mutation.Check).Order()),
            "Failed: " + string.Join(" | ", failed.Select(c => $"{c.Number} {c.Reason}")) + "\nall:\n" + string.Join("\n", report.Checks.Select(c => $"{c.Number} {c.Result} {c.Reason}")));
    }

    [Fact]
    public void The_timed_dossier_passes_while_nothing_is_done_to_it()
    {
        using Workshop workshop = new();
        var report = Checker.Run(DossierReader.Read(new MemoryStream(workshop.Timed())),
            new Expected([workshop.Ledger.Key.Verifier], null, TestDossier.Now) { Policy = CosignPolicy.Parse(TimeCases.Policy.Bytes()), TimeRoots = [TimeCases.Bureau.Root] });
        Assert.Equal([4, 5, 9, 14], report.Checks.Where(c => c.Result == CheckResult.Passed && c.Number is 4 or 5 or 9 or 14).Select(c => c.Number));
        Assert.False(report.HasFailed);
    }
}
