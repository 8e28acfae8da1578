namespace Custody.Evidence.Weight.Simulation;

/// <summary>An invented league: what its hitters do on the whole, from which each hitter departs in his own way.</summary>
/// <remarks>Every figure here is an assumption of the demo, stated so that it can be argued with; common practice where nothing is said.</remarks>
sealed class League
{
    /// <summary>Chance that a family's later member follows from its first one on the same bat.</summary>
    internal const double Dependence = 0.9;

    static readonly Edtf Published = Edtf.Parse("1972");

    /// <summary>Characteristics in the fixed order. Make and use cannot be added convincingly; tape, tar, writing can.</summary>
    internal static readonly IReadOnlyList<HabitCharacteristic> Order =
    [
        .. Family("handle", 1, Known.Yes, 3, 2, 2, 1, 1), .. Family("markings", 6, Known.Yes, 3, 2, 2, 1), .. Family("use", 10, Known.No, 3, 2, 2, 1, 1),
        .. Family("make", 15, Known.No, 4, 3, 2, 2),
    ];

    static IEnumerable<HabitCharacteristic> Family(string name, int first, Known added, params int[] values) =>
        values.Select((v, i) => new HabitCharacteristic(first + i, name, v, added, Known.No, added == Known.Yes ? Published : null));

    /// <summary>First member of each characteristic's family.</summary>
    internal static readonly IReadOnlyDictionary<long, long> First = Order.ToDictionary(c => c.Id, c => Order.First(o => o.Family == c.Family).Id);

    readonly Dictionary<long, double[]> own;

    internal League(SeededNumbers numbers) =>
        own = Order.ToDictionary(c => c.Id, c => numbers.Dirichlet([.. Enumerable.Repeat(1.0, c.Classes)]));

    /// <summary>What hitters of the league do of their own accord, by value.</summary>
    internal double[] Own(long id) => own[id];

    /// <summary>How often a value is seen over the league's bats: of its own accord, or following from the family's first member.</summary>
    internal double Frequency(IReadOnlyList<long> members, int value) => Rates.Of(own, members, value);

    /// <summary>A hitter: his own shares around the league's, and a change of maker in some careers.</summary>
    internal Hitter Draw(SeededNumbers numbers)
    {
        // Alike to himself in varying degree: A is 0.3 in the middle, 0.2 to 0.5 for most.
        var likeness = 0.3 * Math.Exp(0.5 * numbers.Normal());
        var before = Shares();
        var after = new Dictionary<long, double[]>(before);
        if (numbers.Chance(0.2))
            foreach (var make in Order.Where(c => c.Family == "make")) after[make.Id] = Share(make.Id);
        return new Hitter(before, after, numbers.Between(2, 9));

        Dictionary<long, double[]> Shares() => Order.ToDictionary(c => c.Id, c => Share(c.Id));
        double[] Share(long id) => numbers.Dirichlet([.. own[id].Select(p => likeness * p)]);
    }
}

/// <summary>Rates of values that follow from shares and from the dependence within families.</summary>
static class Rates
{
    /// <summary>The chance of a value (of a joint one: of its values together) on one bat.</summary>
    internal static double Of(Dictionary<long, double[]> shares, IReadOnlyList<long> members, int value)
    {
        if (members.Count == 2)
        {
            var classes = shares[members[1]].Length;
            return OfPair(shares, members[0], members[1], value / classes, value % classes);
        }
        var (id, first) = (members[0], League.First[members[0]]);
        return id == first ? shares[id][value] : Enumerable.Range(0, shares[first].Length).Sum(v => OfPair(shares, first, id, v, value));
    }

    static double OfPair(Dictionary<long, double[]> shares, long first, long second, int firstValue, int secondValue) =>
        shares[first][firstValue] * (League.Dependence * (Follows(firstValue, shares[second].Length) == secondValue ? 1 : 0)
            + (1 - League.Dependence) * shares[second][secondValue]);

    /// <summary>Which value of a later member goes with a value of the first.</summary>
    internal static int Follows(int value, int classes) => value % classes;
}

/// <summary>One hitter of ten seasons; in some careers another maker's bats from a season on.</summary>
sealed class Hitter(Dictionary<long, double[]> before, Dictionary<long, double[]> after, int change)
{
    internal const int Seasons = 10;

    /// <summary>His own rate of a value over his career, seasons weighing alike.</summary>
    internal double Rate(IReadOnlyList<long> members, int value) =>
        (Rates.Of(before, members, value) * change + Rates.Of(after, members, value) * (Seasons - change)) / Seasons;

    /// <summary>A bat of his of some season: a value of every characteristic.</summary>
    internal Dictionary<long, int> Bat(SeededNumbers numbers)
    {
        var shares = numbers.Between(0, Seasons - 1) < change ? before : after;
        Dictionary<long, int> bat = [];
        foreach (var characteristic in League.Order)
        {
            var first = League.First[characteristic.Id];
            bat[characteristic.Id] = characteristic.Id != first && numbers.Chance(League.Dependence)
                ? Rates.Follows(bat[first], characteristic.Classes)
                : numbers.Pick(shares[characteristic.Id]);
        }
        return bat;
    }
}
