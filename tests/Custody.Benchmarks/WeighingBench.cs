using System.Diagnostics;
using Custody.Evidence;
using Custody.Evidence.Weight;

namespace Custody.Benchmarks;

/// <summary>One bat of 40 characteristics against 200 sources of the player and 60 other players, with everything that varies it: no database.</summary>
static class WeighingBench
{
    const int Characteristics = 40, Sources = 200, Players = 60, Families = 5;
    const double GoalMs = 50;

    public static void Measure(Figures figures)
    {
        var input = Input();
        for (var i = 0; i < 20; i++) Weigh(input);
        List<double> times = [];
        for (var i = 0; i < 40; i++)
        {
            var clock = Stopwatch.StartNew();
            Weigh(input);
            times.Add(clock.Elapsed.TotalMilliseconds);
        }
        times.Sort();
        figures.Below("weigh_ms", times[times.Count / 2], "ms", GoalMs);
        figures.Note("weigh_ms_best", times[0], "ms");
    }

    static void Weigh(WeighingInput input)
    {
        if (!Weigher.TryWeigh(input, new WeighingChoices(PosedFraction: DecimalText.Parse("0.25")), out _, out var refusal)) throw new InvalidOperationException(refusal.Code);
    }

    /// <summary>Values follow from numbers alone, so that every run weighs the same bat.</summary>
    static WeighingInput Input()
    {
        IReadOnlyList<HabitCharacteristic> order =
            [.. Enumerable.Range(0, Characteristics).Select(c => new HabitCharacteristic(c, "family " + c % Families, 1 + c % 4, c % 3 == 0 ? Known.Yes : Known.No, Known.No))];
        return new WeighingInput(
            order, [.. Enumerable.Range(0, Sources).Select(s => Source(order, s, 0, s))],
            [.. Enumerable.Range(0, Players * 4).Select(s => Source(order, s, 1 + s / 4, 7 * (s / 4) + s % 4 / 3))],
            [.. order.Select(c => new BatFinding(c.Id, FoundState.Seen, 1))], WeighingInput.UsualPairs, ProposedBy.Consignor);
    }

    // His value is 1 on most occasions; each is seen on two of three.
    static HabitSource Source(IReadOnlyList<HabitCharacteristic> order, int id, int player, int turn) => new(
        id, id % 9 == 8 ? ObservedIn.Posed : ObservedIn.Play, player, null, null, null,
        order.Where(c => (c.Id + id) % 3 != 0).ToDictionary(c => c.Id, c => player == 0 ? (turn + (int)c.Id) % 6 == 0 ? 0 : 1 : (turn + (int)c.Id) % (c.Values + 1)));
}
