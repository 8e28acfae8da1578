using System.Diagnostics;
using Custody.Evidence;

namespace Custody.Benchmarks;

/// <summary>Feasible seasons of one bat: thirty facts and five lags, of which several contradict one another so that conflicts are searched too.</summary>
static class BenchMath
{
    public static void MeasureSeasons(Figures figures)
    {
        // Agreeing facts and contradicting ones are different work; the slower one is the figure.
        figures.Below("seasons_ms", Math.Max(Milliseconds(Facts(agree: true)), Milliseconds(Facts(agree: false))), "ms", 5);
    }

    static double Milliseconds(List<DatingFact> facts)
    {
        const int Rounds = 101;
        for (var i = 0; i < Rounds; i++) Find(facts);
        List<double> rounds = [];
        for (var i = 0; i < Rounds; i++)
        {
            var begun = Stopwatch.GetTimestamp();
            Find(facts);
            rounds.Add(Stopwatch.GetElapsedTime(begun).TotalMilliseconds);
        }
        // The middle one: a round that another program interrupted says nothing.
        return rounds.Order().ElementAt(Rounds / 2);
    }

    static void Find(List<DatingFact> facts)
    {
        if (!SeasonsReport.TryMake(facts, Lags, out _, out var refusal)) throw new InvalidOperationException(refusal.Code);
    }

    static readonly List<UsualLag> Lags =
    [
        new("l1", BatMoment.Made, BatMoment.Shipped, 10, 200, "common practice"), new("l2", BatMoment.Ordered, BatMoment.Shipped, 10, 120, "common practice"),
        new("l3", BatMoment.Shipped, BatMoment.FirstUse, 0, 365, "common practice"), new("l4", BatMoment.FirstUse, BatMoment.Used, 0, 700, "common practice"),
        new("l5", BatMoment.Used, BatMoment.LastUse, 0, 700, "common practice"),
    ];

    static List<DatingFact> Facts(bool agree)
    {
        List<DatingFact> facts = [];
        for (var i = 0; i < 30; i++)
        {
            var moment = (BatMoment)(i % 7);
            var from = 1940 + i / 3 + (agree ? 0 : i % 5 * 3);
            string[] within = i % 4 == 0 ? [$"{from}/{from + 6}", $"{from + 9}/{from + 15}"] : [$"{from}/{from + (agree ? 30 : 5)}"];
            facts.Add(new DatingFact($"f{i}", moment, [.. within.Select(Edtf.Parse)], i % 6 == 0, i % 3 == 0, "a list"));
        }
        return facts;
    }
}
