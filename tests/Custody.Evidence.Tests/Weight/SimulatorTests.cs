using System.Text.Json;
using Custody.Evidence.Weight.Simulation;

namespace Custody.Evidence.Tests.Weight;

/// <summary>Ten thousand bats whose truth is known, simulated once for all tests here.</summary>
public sealed class TenThousandBats
{
    public SimulationResult Result { get; } = Simulator.Run(10_000, new SeededNumbers(7));
}

public class SimulatorTests(TenThousandBats bats) : IClassFixture<TenThousandBats>
{
    static double Of(string text) => DecimalText.Parse(text).ToDouble();

    [Fact]
    public void Nine_in_ten_intervals_hold_the_truth_over_all_files_and_values()
    {
        Assert.InRange(Of(bats.Result.AsAssumed.Coverage90), 0.85, 0.95);
        Assert.True(bats.Result.AsAssumed.Intervals > 10_000);
    }

    [Fact]
    public void On_the_demos_own_assumptions_the_cost_stays_below_a_half()
    {
        Assert.InRange(Of(bats.Result.AsAssumed.Cllr), 0.01, 0.5);
        Assert.True(Of(bats.Result.AsAssumed.CllrMin) <= Of(bats.Result.AsAssumed.Cllr));
        Assert.InRange(Of(bats.Result.AsAssumed.PreparedCllr), 0.01, 1);
    }

    [Fact]
    public void Assumptions_broken_on_purpose_show_in_the_figures()
    {
        var result = bats.Result;
        Assert.All(new[] { result.DependenceIgnored, result.PosedCountedAsPlay, result.WrongSources }, f => Assert.True(Of(f.Cllr) > Of(result.AsAssumed.Cllr)));
        Assert.All(new[] { result.PosedCountedAsPlay, result.WrongSources }, f => Assert.True(Of(f.Coverage90) < 0.85));
        Assert.True(Of(result.DependenceIgnored.PreparedMisleading) > Of(result.AsAssumed.PreparedMisleading));
    }

    [Fact]
    public void An_examiner_who_misses_more_agrees_less_with_himself()
    {
        var agreement = bats.Result.Examiners.Select(e => Of(e.Agreement)).ToList();
        Assert.Equal(4, agreement.Count);
        Assert.True(agreement[0] > agreement[3]);
    }

    [Fact]
    public void One_seed_gives_the_same_figures_and_another_seed_others()
    {
        static string Text(ulong seed) => JsonSerializer.Serialize(Simulator.Run(80, new SeededNumbers(seed)));
        Assert.Equal(Text(3), Text(3));
        Assert.NotEqual(Text(3), Text(4));
    }

    // Check values of SplitMix64 from the seed 1234567, as its authors' reference program prints them.
    [Fact]
    public void Seeded_numbers_are_those_of_the_published_generator()
    {
        SeededNumbers numbers = new(1234567);
        Assert.Equal([6457827717110365317UL, 3203168211198807973UL, 9817491932198370423UL], Enumerable.Range(0, 3).Select(_ => numbers.Next()));
    }
}
