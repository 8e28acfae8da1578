namespace Custody.Evidence.Weight;

/// <summary>Where A comes from.</summary>
public enum LikenessFrom
{
    /// <summary>Estimated for this characteristic, player by player.</summary>
    Characteristic,

    /// <summary>Estimated over all characteristics of the comparison file together.</summary>
    WholeFile,

    /// <summary>The stated default: the file has too few players seen more than once.</summary>
    StatedDefault,
}

/// <summary>How alike one hitter is to himself, on one characteristic.</summary>
/// <param name="A">Rounded to 0.01, and used so.</param>
public sealed record LikenessEstimate(DecimalText A, LikenessFrom From);

/// <summary>Estimates A from a comparison file: the concentration of a Dirichlet-multinomial whose mean is the population's frequencies.</summary>
static class Likeness
{
    /// <summary>Fewest players seen at least twice from whom a characteristic's own A is estimated. Common practice.</summary>
    internal const int FewestPlayers = 8;

    internal const double Least = 0.05, Most = 50;

    const int Points = 24;

    /// <summary>
    /// Log likelihood of counts under a Dirichlet-multinomial (Mosimann 1962) of concentration A and mean p, as a function of A and without the term that
    /// does not hold it. Sums of logs stand for the gamma functions, which whole counts allow; players who share a term share its log.
    /// </summary>
    internal static Func<double, double> LogLikelihood(IReadOnlyList<int[]> players, double[] p)
    {
        // How many players have more than i of value v, and more than i in all.
        List<(double P, int I, int Players)> terms = [];
        for (var v = 0; v < p.Length; v++) Add(p[v], 1, c => c[v]);
        Add(1, -1, c => c.Sum());
        return a =>
        {
            double sum = 0;
            foreach (var (share, i, count) in terms) sum += count * Math.Log(a * share + i);
            return sum;
        };

        void Add(double share, int sign, Func<int[], int> of)
        {
            for (var i = 0; players.Count(c => of(c) > i) is > 0 and var count; i++) terms.Add((share, i, sign * count));
        }
    }

    /// <summary>Maximum likelihood (Minka 2000, the precision with fixed mean) over log A: a grid, then golden sections around its best point.</summary>
    internal static double Maximise(Func<double, double> logLikelihood)
    {
        var step = Math.Log(Most / Least) / (Points - 1);
        var best = Enumerable.Range(0, Points).MaxBy(i => logLikelihood(Least * Math.Exp(i * step)));
        var (low, high) = (Math.Log(Least) + Math.Max(0, best - 1) * step, Math.Log(Least) + Math.Min(Points - 1, best + 1) * step);
        var ratio = (Math.Sqrt(5) - 1) / 2;
        var (left, right) = (high - ratio * (high - low), low + ratio * (high - low));
        var (atLeft, atRight) = (logLikelihood(Math.Exp(left)), logLikelihood(Math.Exp(right)));
        // Narrow enough that 0.01 of A is settled at any A in range.
        for (var i = 0; i < 22; i++)
        {
            if (atLeft >= atRight)
            {
                (high, right, atRight) = (right, left, atLeft);
                atLeft = logLikelihood(Math.Exp(left = high - ratio * (high - low)));
            }
            else
            {
                (low, left, atLeft) = (left, right, atRight);
                atRight = logLikelihood(Math.Exp(right = low + ratio * (high - low)));
            }
        }
        return Math.Exp((low + high) / 2);
    }

    internal static bool Informs(int[] counts) => counts.Sum() >= 2;
}
