using System.Diagnostics;
using System.Globalization;
using Custody.Evidence.Weight;

namespace Custody.Evidence.Tests.Weight;

/// <summary>Beta quantiles and the Dirichlet-multinomial likelihood as R 4.2.2 gives them (Debian's r-base-core): qbeta, lgamma, optimize. The table was
/// printed by the script at the end; where R is installed it is run again, and CI insists on it.</summary>
public class ReferenceTests
{
    static readonly double[] Shares = [0.05, 0.25, 0.5, 0.75, 0.95];

    // a, b, log10 of the quantiles at 5, 25, 50, 75 and 95 %.
    static readonly (double A, double B, double[] Logs)[] Quantiles =
    [
        (0.5, 39.5, [-4.3003, -2.8886, -2.2382, -1.7769, -1.3210]), (4.5, 36.5, [-1.3710, -1.1292, -0.9854, -0.8587, -0.7019]),
        (10.2, 1.8, [-0.1813, -0.1001, -0.0607, -0.0335, -0.0114]), (0.2, 11.8, [-7.7476, -4.2525, -2.7405, -1.8079, -1.0636]),
        (3.07, 60.43, [-1.8602, -1.5438, -1.3599, -1.2001, -1.0047]), (120.5, 80.5, [-0.2658, -0.2393, -0.2220, -0.2055, -0.1833]),
    ];

    static readonly int[][] Players = [[3, 0, 0], [0, 4, 0], [2, 1, 0], [5, 0, 0], [0, 0, 2], [1, 1, 1], [0, 3, 0], [4, 0, 1], [2, 0, 0], [0, 2, 2]];

    static readonly (double A, double LogLikelihood)[] Likelihoods = [(0.2, -30.95256052), (1, -28.21355624), (5, -30.60240966), (20, -33.18814314)];

    const double MaximumAt = 0.9577826;

    // log gamma(A) - log gamma(A + n) + ... and the sums of logs here are the same expression, written otherwise.
    static double[] Mean => [.. Enumerable.Range(0, 3).Select(v => Ratio.Frequency(Players.Sum(c => c[v] / (double)c.Sum()), Players.Length, 3))];

    [Fact]
    public void The_grid_gives_beta_quantiles_within_a_hundredth_of_log10()
    {
        foreach (var (a, b, logs) in Quantiles)
        {
            var grid = new Spread(BetaGrid.Floor, BetaGrid.Masses(a, b));
            for (var i = 0; i < Shares.Length; i++) Assert.Equal(logs[i], grid.Quantile(Shares[i]), 0.012);
        }
    }

    [Fact]
    public void The_likelihood_of_the_dirichlet_multinomial_is_as_in_R()
    {
        foreach (var (a, expected) in Likelihoods) Assert.Equal(expected, Likeness.LogLikelihood(Players, Mean)(a), 7);
    }

    [Fact]
    public void Likeness_is_estimated_where_R_finds_the_maximum() =>
        Assert.Equal(MaximumAt, Likeness.Maximise(Likeness.LogLikelihood(Players, Mean)), 0.0005);

    [Fact]
    public void R_itself_prints_the_typed_tables()
    {
        if (!OperatingSystem.IsLinux() || !File.Exists("/usr/bin/Rscript"))
        {
            Assert.False(Environment.GetEnvironmentVariable("CI") == "true", "Rscript is not installed; in CI it must be (Debian package r-base-core).");
            return;
        }
        var printed = Run();
        var expected = Quantiles.SelectMany(q => q.Logs).Concat(Likelihoods.Select(l => l.LogLikelihood)).Append(MaximumAt).ToList();
        Assert.Equal(expected.Count, printed.Count);
        for (var i = 0; i < expected.Count; i++) Assert.Equal(expected[i], printed[i], 0.0001);
    }

    static List<double> Run()
    {
        static string List(IEnumerable<double> values) => "c(" + string.Join(',', values.Select(v => v.ToString("R", CultureInfo.InvariantCulture))) + ")";
        var script = string.Join('\n',
            "say <- function(v) cat(sprintf('%.8f', v), sep='\\n')",
            "say2 <- function(v) { say(v); cat('\\n') }",
            string.Join('\n', Quantiles.Select(q => $"say2(log10(qbeta({List(Shares)}, {List([q.A])}, {List([q.B])})))")),
            "x <- rbind(" + string.Join(',', Players.Select(p => List(p.Select(v => (double)v)))) + ")",
            "p <- (colSums(x / rowSums(x)) + 0.5) / (nrow(x) + 1.5)",
            "ll <- function(a) sum(apply(x, 1, function(r) lgamma(a) - lgamma(a + sum(r)) + sum(lgamma(r + a * p) - lgamma(a * p))))",
            string.Join('\n', Likelihoods.Select(l => $"say2(ll({List([l.A])}))")),
            "say2(exp(optimize(function(l) ll(exp(l)), c(log(0.05), log(50)), maximum = TRUE, tol = 1e-10)$maximum))");
        var start = new ProcessStartInfo("/usr/bin/Rscript") { RedirectStandardOutput = true, RedirectStandardError = true };
        foreach (var argument in new[] { "--vanilla", "-e", script }) start.ArgumentList.Add(argument);
        using var r = Process.Start(start)!;
        var errors = r.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        var output = r.StandardOutput.ReadToEnd();
        r.WaitForExit();
        Assert.True(r.ExitCode == 0, errors.Result);
        return [.. output.Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(l => double.Parse(l, CultureInfo.InvariantCulture))];
    }
}
