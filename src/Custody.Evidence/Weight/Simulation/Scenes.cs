namespace Custody.Evidence.Weight.Simulation;

/// <summary>How a simulated bat came to be.</summary>
enum Truth
{
    His,
    Another,
    Prepared,
}

/// <summary>A simulated bat: what an examiner found, and what another look by the same examiner found.</summary>
sealed record SimulatedBat(Truth Truth, int Examiner, IReadOnlyList<BatFinding> Findings, IReadOnlyList<BatFinding> Again, Edtf? Custody);

/// <summary>One player's file, a comparison file, and bats to weigh against them.</summary>
sealed class Scene
{
    internal const int Examiners = 4, BatsOfAFile = 40;

    static readonly Edtf LongCustody = Edtf.Parse("1960");

    readonly SeededNumbers numbers;

    internal Scene(SeededNumbers numbers)
    {
        this.numbers = numbers;
        League = new League(numbers.Branch());
        Hitter = League.Draw(numbers.Branch());
        var others = numbers.Branch();
        Comparison = [.. Enumerable.Range(1, others.Between(40, 80)).SelectMany(player => Sources(others, League.Draw(others), player, others.Between(1, 6), 0))];
        var his = numbers.Branch();
        Habits = [.. Sources(his, Hitter, 0, his.Between(4, 16), his.Between(0, 6))];
        Bats = [.. Enumerable.Range(0, BatsOfAFile).Select(i => Bat(i switch { < 16 => Truth.His, < 32 => Truth.Another, _ => Truth.Prepared }))];
    }

    internal League League { get; }

    internal Hitter Hitter { get; }

    internal IReadOnlyList<HabitSource> Habits { get; }

    internal IReadOnlyList<HabitSource> Comparison { get; }

    internal IReadOnlyList<SimulatedBat> Bats { get; }

    /// <summary>The same file with a share of its sources showing somebody else's bat.</summary>
    internal IReadOnlyList<HabitSource> WithWrongSources(double share)
    {
        var wrong = numbers.Branch();
        return [.. Habits.Select(s => wrong.Chance(share) ? s with { Seen = Visible(wrong, League.Draw(wrong).Bat(wrong)) } : s)];
    }

    // A posed picture shows a prop: some bat of the league.
    IEnumerable<HabitSource> Sources(SeededNumbers drawn, Hitter hitter, int player, int inPlay, int posed) =>
        Enumerable.Range(0, inPlay + posed).Select(i => new HabitSource(
            player * 100 + i, i < inPlay ? ObservedIn.Play : ObservedIn.Posed, player, null, null, null,
            Visible(drawn, (i < inPlay ? hitter : League.Draw(drawn)).Bat(drawn))));

    static Dictionary<long, int> Visible(SeededNumbers drawn, Dictionary<long, int> bat) =>
        bat.Where(_ => drawn.Chance(0.7)).ToDictionary(v => v.Key, v => v.Value);

    SimulatedBat Bat(Truth truth)
    {
        var drawn = numbers.Branch();
        var bat = (truth == Truth.His ? Hitter : League.Draw(drawn)).Bat(drawn);
        if (truth == Truth.Prepared) Prepare(bat, drawn);
        var examiner = drawn.Between(0, Examiners - 1);
        // Nobody documents custody of a bat before it is made to deceive.
        var custody = truth != Truth.Prepared && drawn.Chance(0.25) ? LongCustody : null;
        return new SimulatedBat(truth, examiner, Look(drawn, bat, examiner), Look(drawn, bat, examiner), custody);
    }

    // The preparer knows the published pictures and puts on what can be put on, mostly with success.
    void Prepare(Dictionary<long, int> bat, SeededNumbers drawn)
    {
        foreach (var characteristic in League.Order.Where(c => c.CanBeAdded == Known.Yes && drawn.Chance(0.85)))
        {
            var seen = Habits.Where(h => h.Seen.ContainsKey(characteristic.Id)).Select(h => h.Seen[characteristic.Id]).ToList();
            if (seen.Count > 0) bat[characteristic.Id] = seen.GroupBy(v => v).MaxBy(g => g.Count())!.Key;
        }
    }

    // Examiners miss 2 to 8 % of what is there and cannot judge 10 to 16 %.
    static List<BatFinding> Look(SeededNumbers drawn, Dictionary<long, int> bat, int examiner) =>
    [
        .. bat.Select(v => drawn.Chance(0.10 + 0.02 * examiner) ? new BatFinding(v.Key, FoundState.NotAssessable)
            : v.Value == 0 || drawn.Chance(0.02 + 0.02 * examiner) ? new BatFinding(v.Key, FoundState.Absent)
            : new BatFinding(v.Key, FoundState.Seen, v.Value)),
    ];
}
