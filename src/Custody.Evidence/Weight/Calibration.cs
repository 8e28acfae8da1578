namespace Custody.Evidence.Weight;

/// <summary>How good weights are, on cases whose truth is known.</summary>
public static class Calibration
{
    /// <summary>
    /// Cllr = half of [mean log2(1 + 1/LR) where the proposition is true + mean log2(1 + LR) where the alternative is] (Brummer and du Preez 2006). 0 is
    /// perfect, 1 is what a constant LR of 1 costs, above 1 misleads.
    /// </summary>
    /// <param name="same">Log10 ratios of cases in which the proposition is true; not empty.</param>
    /// <param name="different">Log10 ratios of cases in which the alternative is true; not empty.</param>
    public static double Cllr(IReadOnlyCollection<double> same, IReadOnlyCollection<double> different)
    {
        RequireBoth(same, different);
        return (same.Average(l => Log2Of1Plus(-l)) + different.Average(Log2Of1Plus)) / 2;
    }

    /// <summary>
    /// The least Cllr that any monotone rescaling of these weights could have, by pooling adjacent violators (isotonic regression, Ayer et al. 1955; its use for
    /// Cllr: Brummer and du Preez 2006). The rest of Cllr is loss of calibration.
    /// </summary>
    public static double MinimumCllr(IReadOnlyCollection<double> same, IReadOnlyCollection<double> different)
    {
        RequireBoth(same, different);
        var odds = (double)same.Count / different.Count;
        double cost = 0;
        foreach (var block in Pooled(same, different))
        {
            var ratio = block.Same / (double)block.Different / odds;
            if (block.Same > 0) cost += block.Same / (2.0 * same.Count) * Math.Log2(1 + 1 / ratio);
            if (block.Different > 0) cost += block.Different / (2.0 * different.Count) * Math.Log2(1 + ratio);
        }
        return cost;
    }

    /// <summary>
    /// What a calibration plot shows: cases sorted into bins of stated weight, with the weight that their truth bears out, log10 of (share of true cases in the
    /// bin / share of false ones). Null where a bin holds only one kind.
    /// </summary>
    /// <param name="width">Width of a bin in log10, above 0.</param>
    public static IReadOnlyList<CalibrationBin> Plot(IReadOnlyCollection<double> same, IReadOnlyCollection<double> different, double width = 0.5)
    {
        RequireBoth(same, different);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(width);
        return
        [
            .. same.Select(l => (Log: l, Same: true)).Concat(different.Select(l => (Log: l, Same: false))).GroupBy(c => (long)Math.Floor(c.Log / width)).OrderBy(g => g.Key)
                .Select(g => (Bin: g, Same: g.Count(c => c.Same), Different: g.Count(c => !c.Same))).Select(g => new CalibrationBin(
                    Rounded.Of(g.Bin.Key * width).Text, Rounded.Of((g.Bin.Key + 1) * width).Text, g.Same, g.Different, Rounded.Of(g.Bin.Average(c => c.Log)).Text,
                    g.Same > 0 && g.Different > 0
                        ? Rounded.Log10((double)g.Same / same.Count / ((double)g.Different / different.Count)).Text : null)),
        ];
    }

    // Sorted by weight; equal weights cannot be told apart and are one block. Neighbours whose shares fall are pooled until none falls.
    static List<(long Same, long Different)> Pooled(IEnumerable<double> same, IEnumerable<double> different)
    {
        List<(long Same, long Different)> blocks = [];
        foreach (var tie in same.Select(l => (Log: l, Same: 1)).Concat(different.Select(l => (Log: l, Same: 0))).GroupBy(c => c.Log).OrderBy(g => g.Key))
        {
            (long Same, long Different) block = (tie.Sum(c => c.Same), tie.Count(c => c.Same == 0));
            while (blocks.Count > 0 && blocks[^1].Same * (block.Same + block.Different) >= block.Same * (blocks[^1].Same + blocks[^1].Different))
            {
                block = (block.Same + blocks[^1].Same, block.Different + blocks[^1].Different);
                blocks.RemoveAt(blocks.Count - 1);
            }
            blocks.Add(block);
        }
        return blocks;
    }

    // log2(1 + 10^l) without overflow.
    static double Log2Of1Plus(double log10) =>
        log10 > 0 ? log10 / Math.Log10(2) + Math.Log2(1 + Math.Pow(10, -log10)) : Math.Log2(1 + Math.Pow(10, log10));

    static void RequireBoth(IReadOnlyCollection<double> same, IReadOnlyCollection<double> different)
    {
        if (same.Count == 0 || different.Count == 0) throw new ArgumentException("Cases of both kinds are needed.");
    }
}

/// <summary>One bin of a calibration plot.</summary>
/// <param name="From">Lower edge of stated weight, log10.</param>
/// <param name="Same">Cases in it whose proposition is true.</param>
/// <param name="Stated">Mean stated weight, log10.</param>
/// <param name="BorneOut">Weight that the truth of its cases bears out, log10.</param>
public sealed record CalibrationBin(string From, string To, int Same, int Different, string Stated, string? BorneOut);

/// <summary>How often looks at the same bat agree.</summary>
/// <param name="Looks">Pairs of looks compared.</param>
/// <param name="Agreement">Share that agree, to 0.001.</param>
/// <param name="Kappa">Agreement beyond chance, to 0.001; null when chance alone would always agree.</param>
public sealed record LookAgreement(int Looks, string Agreement, string? Kappa)
{
    /// <summary>Compares first and second looks, item by item: share of agreement and Cohen's kappa (Cohen 1960).</summary>
    /// <param name="looks">What each look said, in any words of a fixed list; not empty.</param>
    public static LookAgreement Of(IReadOnlyCollection<(int First, int Second)> looks)
    {
        if (looks.Count == 0) throw new ArgumentException("No looks are compared.", nameof(looks));
        var agreed = looks.Count(l => l.First == l.Second) / (double)looks.Count;
        var chance = looks.Select(l => l.First).Distinct()
            .Sum(word => looks.Count(l => l.First == word) / (double)looks.Count * looks.Count(l => l.Second == word) / looks.Count);
        return new(looks.Count, DecimalText.Computed(agreed, 3).Text, chance >= 1 ? null : DecimalText.Computed((agreed - chance) / (1 - chance), 3).Text);
    }
}
