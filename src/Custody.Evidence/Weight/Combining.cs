namespace Custody.Evidence.Weight;

/// <summary>One thing that counts: a family's first assessable member, or joint counts.</summary>
readonly record struct Piece(Counts Counts, int Value, string Family);

/// <summary>A log10 likelihood ratio with the ends of its interval, not yet rounded.</summary>
readonly record struct Sized(double Log10, double Low, double High)
{
    internal RatioRange Kept() => new(Rounded.Of(Log10).Text, Rounded.Of(Low).Text, Rounded.Of(High).Text);

    internal Wording Words(VerbalScale scale) => scale.Words(Rounded.Of(Low), Rounded.Of(High));
}

/// <summary>A change to what a piece counts, in occasions with the value and occasions at all; and to A and to posed pictures.</summary>
readonly record struct Change(double LikenessTimes, double Posed)
{
    internal static readonly Change None = new(1, 0);
}

/// <summary>Adds up pieces of different families, which are taken to be independent.</summary>
sealed class Combining(SpreadBook spreads)
{
    /// <summary>Share of an interval left out at each side: 90 %.</summary>
    internal const double Tail = 0.05;

    readonly Dictionary<string, Sized> known = [];

    /// <summary>The product of the pieces' ratios, and its interval: the sum of independent log ratios, 5 % left out at each end, always holding the number
    /// itself (for a value he never showed the mean lies far above the middle).</summary>
    internal Sized Of(IReadOnlyList<Piece> pieces, Change change, Func<Piece, (double Shown, double Occasions)>? counts = null)
    {
        var given = pieces.Select(p => (Piece: p, Counts: Counted(p, change, counts))).ToList();
        var key = string.Join('|', given.Select(g => $"{string.Join('+', g.Piece.Counts.Members)}={g.Piece.Value}:{g.Counts.Shown:R}/{g.Counts.Occasions:R}*{change.LikenessTimes:R}"));
        if (known.TryGetValue(key, out var sized)) return sized;
        double log = 0;
        Spread? sum = null;
        foreach (var (piece, (shown, occasions)) in given)
        {
            if (occasions == 0) continue;
            var a = piece.Counts.Likeness.A.ToDouble() * change.LikenessTimes;
            log += Math.Log10(Ratio.Of(shown, occasions, piece.Counts.Frequency(piece.Value), a));
            var spread = spreads.Of(shown, occasions, piece.Counts.Others[piece.Value], piece.Counts.Players, piece.Counts.Classes, a);
            sum = sum is null ? spread : sum.Plus(spread);
        }
        return known[key] = sum is null
            ? new Sized(0, 0, 0)
            : new Sized(log, Math.Min(log, sum.Quantile(Tail)), Math.Max(log, sum.Quantile(1 - Tail)));
    }

    // Posed pictures enter as a power prior: their counts raised to a fraction of their weight (Ibrahim and Chen 2000).
    static (double Shown, double Occasions) Counted(Piece piece, Change change, Func<Piece, (double, double)>? counts)
    {
        var (shown, occasions) = counts?.Invoke(piece) ?? (piece.Counts.His[piece.Value], piece.Counts.Occasions);
        return (shown + change.Posed * piece.Counts.Posed[piece.Value], occasions + change.Posed * piece.Counts.Posed.Sum());
    }
}
