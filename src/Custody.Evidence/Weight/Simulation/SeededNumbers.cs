namespace Custody.Evidence.Weight.Simulation;

/// <summary>Numbers that look random and follow from a seed alone, the same on every machine. For simulation only, never for secrets.</summary>
/// <remarks>SplitMix64 (Steele, Lea and Flood 2014), whose every step is one addition and a mixing of bits.</remarks>
public sealed class SeededNumbers(ulong seed)
{
    ulong state = seed;

    /// <summary>The next 64 bits.</summary>
    public ulong Next()
    {
        var z = state += 0x9E3779B97F4A7C15;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EB;
        return z ^ (z >> 31);
    }

    /// <summary>Another stream of numbers that this one's later use does not touch.</summary>
    public SeededNumbers Branch() => new(Next());

    /// <summary>Even over [0, 1).</summary>
    public double Even() => (Next() >> 11) * (1.0 / (1UL << 53));

    /// <summary>True with this chance.</summary>
    public bool Chance(double chance) => Even() < chance;

    /// <summary>A whole number from least to most, both included.</summary>
    public int Between(int least, int most) => least + (int)(Even() * (most - least + 1));

    /// <summary>Standard normal (Box and Muller 1958).</summary>
    public double Normal() => Math.Sqrt(-2 * Math.Log(1 - Even())) * Math.Cos(2 * Math.PI * Even());

    /// <summary>Which of several, by their weights.</summary>
    public int Pick(double[] weights)
    {
        var at = Even() * weights.Sum();
        for (var i = 0; i < weights.Length - 1; i++)
            if ((at -= weights[i]) < 0) return i;
        return weights.Length - 1;
    }

    /// <summary>Shares that sum to 1, Dirichlet with these parameters: independent gammas over their sum, in logs so that tiny parameters stay told apart.</summary>
    public double[] Dirichlet(double[] parameters)
    {
        double[] logs = [.. parameters.Select(LogGamma)];
        var most = logs.Max();
        double[] shares = [.. logs.Select(l => Math.Exp(l - most))];
        var sum = shares.Sum();
        return [.. shares.Select(s => s / sum)];
    }

    // Log of a gamma variate of unit scale (Marsaglia and Tsang 2000); a shape below 1 by their power of an even number.
    double LogGamma(double shape)
    {
        if (shape < 1) return LogGamma(shape + 1) + Math.Log(1 - Even()) / shape;
        var d = shape - 1.0 / 3;
        while (true)
        {
            var x = Normal();
            var v = 1 + x / Math.Sqrt(9 * d);
            if (v <= 0) continue;
            v = v * v * v;
            if (Math.Log(1 - Even()) < 0.5 * x * x + d - d * v + d * Math.Log(v)) return Math.Log(d * v);
        }
    }
}
