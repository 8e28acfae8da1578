using Custody.Evidence.Weight;
using FsCheck;
using FsCheck.Fluent;

namespace Custody.Evidence.Tests.Weight;

public class CalibrationTests
{
    // Brummer and du Preez (2006), worked from the definition.
    [Fact]
    public void The_cost_has_its_check_values()
    {
        Assert.Equal(1, Calibration.Cllr([0, 0], [0, 0]), 12);
        Assert.Equal(0.07592940836350254, Calibration.Cllr([1, 2], [-1, -2]), 12);
        Assert.Equal(3.4594316186372973, Calibration.Cllr([-1], [1]), 12);
        Assert.Equal(0, Calibration.Cllr([400], [-400]), 12);
    }

    [Fact]
    public void Weights_that_sort_perfectly_have_a_minimum_of_nothing_and_useless_ones_of_one()
    {
        Assert.Equal(0, Calibration.MinimumCllr([0.2, 0.1], [-0.3, 0]), 12);
        Assert.Equal(1, Calibration.MinimumCllr([1, 1, 1], [1, 1]), 12);
        Assert.Equal(1, Calibration.MinimumCllr([-1], [1]), 12);
    }

    // same 2 and 0, different 1 and -1: pooling leaves blocks (-1 | 0 1 | 2); the middle block costs log2(1 + 1) for half of each kind.
    [Fact]
    public void Adjacent_violators_are_pooled() => Assert.Equal(0.5, Calibration.MinimumCllr([2, 0], [1, -1]), 12);

    [Fact]
    public void No_rescaling_costs_less_than_the_minimum() => Prop.ForAll(
        (from same in Gen.Choose(-40, 40).NonEmptyListOf()
         from other in Gen.Choose(-40, 40).NonEmptyListOf()
         from slope in Gen.Choose(1, 30)
         from shift in Gen.Choose(-20, 20)
         select (same.Select(x => x / 20.0).ToList(), other.Select(x => x / 20.0).ToList(), slope / 10.0, shift / 10.0)).ToArbitrary(),
        c => Calibration.MinimumCllr(c.Item1, c.Item2)
            <= Calibration.Cllr([.. c.Item1.Select(x => x * c.Item3 + c.Item4)], [.. c.Item2.Select(x => x * c.Item3 + c.Item4)]) + 1e-9).QuickCheckThrowOnFailure();

    [Fact]
    public void The_plot_sets_stated_weight_beside_what_truth_bears_out()
    {
        var bins = Calibration.Plot([0.6, 0.7, 0.2, 0.1], [0.3, 0.8]);
        Assert.Equal([("0.000", "0.500", 2, 1, "0.200", "0.000"), ("0.500", "1.000", 2, 1, "0.700", "0.000")],
            bins.Select(b => (b.From, b.To, b.Same, b.Different, b.Stated, b.BorneOut!)));
    }

    // Cohen (1960): 3 of 4 agree, by chance (3/4)(2/4) + (1/4)(2/4) = 1/2, so kappa is 1/2.
    [Fact]
    public void Agreement_is_counted_beyond_chance()
    {
        Assert.Equal(new LookAgreement(4, "0.750", "0.500"), LookAgreement.Of([(1, 1), (1, 1), (1, 2), (2, 2)]));
        Assert.Equal(new LookAgreement(2, "1.000", null), LookAgreement.Of([(1, 1), (1, 1)]));
    }
}
