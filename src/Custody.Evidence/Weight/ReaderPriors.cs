namespace Custody.Evidence.Weight;

/// <summary>Prior odds of a reader and what a weight makes of them (Bayes's rule in odds form). The house states no prior of its own.</summary>
static class ReaderPriors
{
    static readonly (string Odds, double Log10)[] Priors = [("1:1000", -3), ("1:100", -2), ("1:10", -1), ("1:1", 0), ("10:1", 1), ("100:1", 2)];

    internal static IReadOnlyList<ReaderPrior> Of(Sized weight)
    {
        double[] ends = [weight.Low, weight.Log10, weight.High];
        return
        [
            .. Priors.Select(prior => new ReaderPrior(
                prior.Odds, [.. ends.Select(e => Rounded.Of(prior.Log10 + Kept(e)).Text)],
                [.. ends.Select(e => DecimalText.Computed(1 / (1 + Math.Pow(10, -(prior.Log10 + Kept(e)))), 4).Text)])),
        ];
    }

    // From the number as it is shown, so that a reader with a pencil gets the same.
    static double Kept(double log10) => Rounded.Of(log10).ToDouble();
}
