namespace Custody.Evidence.Weight;

/// <summary>His counts and the population's of one characteristic, or of a joint one. Fractions come from loss factors only.</summary>
sealed class Counts
{
    internal required IReadOnlyList<long> Members { get; init; }

    internal required int Classes { get; init; }

    /// <summary>His, by value: what counts.</summary>
    internal required double[] His { get; init; }

    /// <summary>His in posed pictures: shown beside, never in the result.</summary>
    internal required double[] Posed { get; init; }

    /// <summary>His in the kind of observation that does not count here.</summary>
    internal required double[] Beside { get; init; }

    /// <summary>The population's, each player brought to 1.</summary>
    internal required double[] Others { get; init; }

    internal required double Players { get; init; }

    internal required LikenessEstimate Likeness { get; init; }

    internal double Occasions => His.Sum();

    internal double Frequency(int value) => Ratio.Frequency(Others[value], Players, Classes);
}

/// <summary>Turns independent occasions into counts.</summary>
sealed class Tallies
{
    readonly WeighingChoices choices;
    readonly Dictionary<long, HabitCharacteristic> byId;
    readonly ILookup<long, Occasion> others;
    readonly IReadOnlyList<Occasion> his;
    readonly Lazy<double?> wholeFile;
    readonly Dictionary<string, Counts> known = [];

    internal Tallies(IReadOnlyList<HabitCharacteristic> order, IReadOnlyList<Occasion> his, IReadOnlyList<Occasion> others, WeighingChoices choices)
    {
        (this.his, this.choices) = (his, choices);
        byId = order.ToDictionary(c => c.Id);
        this.others = others.ToLookup(o => o.Player);
        wholeFile = new(() => OfWholeFile(order));
    }

    /// <summary>Counts of one characteristic, or of several seen together on one occasion.</summary>
    internal Counts Of(params long[] members)
    {
        var key = string.Join('+', members);
        if (known.TryGetValue(key, out var counts)) return counts;
        var classes = members.Aggregate(1, (c, id) => c * byId[id].Classes);
        var (mean, players) = Population(members, classes);
        return known[key] = new Counts
        {
            Members = members,
            Classes = classes,
            His = Sum(his, members, classes, Weight),
            Posed = Sum(his, members, classes, (o, _) => o.Kind == ObservedIn.Posed ? 1 : 0),
            Beside = Sum(his, members, classes, (o, m) => o.Kind is ObservedIn.Play or ObservedIn.SurvivingBat && Weight(o, m) == 0 ? 1 : 0),
            Others = mean,
            Players = players,
            Likeness = LikenessOf(members, classes, mean, players),
        };
    }

    /// <summary>What one occasion adds to each value; null when it does not show the characteristic or does not count.</summary>
    internal double[]? Added(Occasion occasion, IReadOnlyList<long> members, int classes)
    {
        if (ValueIn(occasion, members) is not { } value || Weight(occasion, members) == 0) return null;
        var added = new double[classes];
        Put(added, occasion, members, value, 1);
        return added;
    }

    // The kind that counts is chosen beforehand; the other joins it only where loss is known, for a mark that is gone is not one that never was.
    double Weight(Occasion occasion, IReadOnlyList<long> members) =>
        occasion.Kind == choices.Basis || (occasion.Kind is ObservedIn.Play or ObservedIn.SurvivingBat && members.All(id => Loss(id) is not null)) ? 1 : 0;

    /// <summary>Whether these may be counted together: how two marks are lost together is not known.</summary>
    internal bool CanBeJoint(IReadOnlyList<long> members) => members.All(id => Loss(id) is null or 0);

    /// <summary>How often a mark seen in play is gone later: stated, or 0 where it cannot be lost; null when it is not known.</summary>
    internal double? Loss(long id) =>
        choices.LossFactors?.TryGetValue(id, out var stated) == true ? stated.ToDouble() : byId[id].CanBeLost == Known.No ? 0 : null;

    double[] Sum(IEnumerable<Occasion> occasions, IReadOnlyList<long> members, int classes, Func<Occasion, IReadOnlyList<long>, double> weight)
    {
        var sum = new double[classes];
        foreach (var occasion in occasions)
            if (weight(occasion, members) > 0 && ValueIn(occasion, members) is { } value) Put(sum, occasion, members, value, 1);
        return sum;
    }

    // A picture of play tells of a bat as it was; the bat in hand may have lost the mark since.
    void Put(double[] sum, Occasion occasion, IReadOnlyList<long> members, int value, double weight)
    {
        var loss = occasion.Kind == ObservedIn.Play && members.Count == 1 && value > 0 ? Loss(members[0]) ?? 0 : 0;
        sum[value] += weight * (1 - loss);
        sum[0] += weight * loss;
    }

    int? ValueIn(Occasion occasion, IReadOnlyList<long> members)
    {
        var value = 0;
        foreach (var id in members)
        {
            if (!occasion.Seen.TryGetValue(id, out var seen)) return null;
            value = value * byId[id].Classes + seen;
        }
        return value;
    }

    /// <summary>Each player's counts brought to 1: many pictures of one man are not many men (clusters).</summary>
    (double[] Mean, double Players) Population(IReadOnlyList<long> members, int classes)
    {
        var sum = new double[classes];
        double players = 0;
        foreach (var player in others)
        {
            var counts = Sum(player, members, classes, Weight);
            var total = counts.Sum();
            if (total == 0) continue;
            players++;
            for (var v = 0; v < classes; v++) sum[v] += counts[v] / total;
        }
        return (sum, players);
    }

    LikenessEstimate LikenessOf(IReadOnlyList<long> members, int classes, double[] mean, double players)
    {
        var counts = PlayerCounts(members, classes);
        if (counts.Count >= Likeness.FewestPlayers)
        {
            double[] p = [.. mean.Select(k => Ratio.Frequency(k, players, classes))];
            return new(DecimalText.Computed(Likeness.Maximise(Likeness.LogLikelihood(counts, p)), 2), LikenessFrom.Characteristic);
        }
        return wholeFile.Value is { } a
            ? new(DecimalText.Computed(a, 2), LikenessFrom.WholeFile)
            : new(choices.LikenessDefault ?? WeighingChoices.UsualLikeness, LikenessFrom.StatedDefault);
    }

    double? OfWholeFile(IReadOnlyList<HabitCharacteristic> order)
    {
        List<Func<double, double>> all = [];
        var informing = 0;
        foreach (var characteristic in order)
        {
            var counts = PlayerCounts([characteristic.Id], characteristic.Classes);
            var (mean, players) = Population([characteristic.Id], characteristic.Classes);
            if (counts.Count == 0) continue;
            informing += counts.Count;
            all.Add(Likeness.LogLikelihood(counts, [.. mean.Select(k => Ratio.Frequency(k, players, characteristic.Classes))]));
        }
        return informing < Likeness.FewestPlayers ? null : Likeness.Maximise(a => all.Sum(of => of(a)));
    }

    /// <summary>Counts of the players who inform about likeness: seen at least twice.</summary>
    List<int[]> PlayerCounts(IReadOnlyList<long> members, int classes)
    {
        List<int[]> all = [];
        foreach (var player in others)
        {
            var counts = new int[classes];
            foreach (var occasion in player)
                if (Weight(occasion, members) > 0 && ValueIn(occasion, members) is { } value) counts[value]++;
            if (Likeness.Informs(counts)) all.Add(counts);
        }
        return all;
    }
}
