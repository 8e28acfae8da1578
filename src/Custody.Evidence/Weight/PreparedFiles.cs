using System.Diagnostics.CodeAnalysis;

namespace Custody.Evidence.Weight;

/// <summary>A habit file and a comparison file counted once, ready to weigh any number of bats against.</summary>
public sealed class PreparedFiles
{
    /// <summary>Fewest occasions of his, and players of the comparison file, that show two characteristics together before their joint counts are used.
    /// Common practice.</summary>
    public const int FewestJointOccasions = 5, FewestJointPlayers = 10;

    readonly Dictionary<string, IReadOnlyList<Counts>> families = [];

    PreparedFiles(IReadOnlyList<HabitCharacteristic> order, IReadOnlyList<HabitSource> habits, IReadOnlyList<HabitSource> comparison, WeighingChoices choices)
    {
        (Order, Choices) = (order, choices);
        ById = order.ToDictionary(c => c.Id);
        (Sources, ComparisonSources) = (habits.Count, comparison.Count);
        His = Independence.Occasions(habits);
        Others = Independence.Occasions(comparison);
        Tallies = new Tallies(order, His, Others, choices);
        foreach (var family in order.GroupBy(c => c.Family)) families[family.Key] = Candidates([.. family.Select(c => c.Id)]);
    }

    internal IReadOnlyList<HabitCharacteristic> Order { get; }

    internal WeighingChoices Choices { get; }

    internal IReadOnlyDictionary<long, HabitCharacteristic> ById { get; }

    internal IReadOnlyList<Occasion> His { get; }

    internal IReadOnlyList<Occasion> Others { get; }

    internal Tallies Tallies { get; }

    internal int Sources { get; }

    internal int ComparisonSources { get; }

    internal VerbalScale Scale => Choices.Scale ?? VerbalScale.Enfsi2015;

    /// <summary>Of each family, in the fixed order, what may count: joint counts of its first two members where they exist, then each member.</summary>
    internal IReadOnlyDictionary<string, IReadOnlyList<Counts>> Families => families;

    internal SpreadBook Spreads { get; } = new();

    /// <summary>
    /// Counts the files. Refuses <c>comparison-file-empty</c>, <c>characteristic-twice</c>, <c>characteristic-values</c>,
    /// <c>unknown-characteristic</c>, <c>value-unknown</c>, <c>source-twice</c> and choices out of range: <c>posed-fraction</c>,
    /// <c>likeness-not-positive</c>, <c>loss-factor</c>, <c>basis-not-counted</c>.
    /// </summary>
    public static bool TryPrepare(IReadOnlyList<HabitCharacteristic> order, IReadOnlyList<HabitSource> habits, IReadOnlyList<HabitSource> comparison,
        WeighingChoices choices, [NotNullWhen(true)] out PreparedFiles? files, [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        refusal = RefuseOrder(order) ?? RefuseSources(order, habits) ?? RefuseSources(order, comparison) ?? RefuseChoices(order, choices)
            ?? (comparison.All(s => s.Seen.Count == 0) ? Refusals.ComparisonEmpty : null);
        files = refusal is null ? new PreparedFiles(order, habits, comparison, choices) : null;
        return files is not null;
    }

    static EvidenceRefusal? RefuseOrder(IReadOnlyList<HabitCharacteristic> order) =>
        order.DistinctBy(c => c.Id).Count() != order.Count ? new("characteristic-twice", "A characteristic stands twice in the order.", "Name each once.")
        : order.Any(c => c.Values is < 1 or > 50) ? new("characteristic-values", "A characteristic has no named values, or too many.", "Give 1 to 50.")
        : null;

    static EvidenceRefusal? RefuseSources(IReadOnlyList<HabitCharacteristic> order, IReadOnlyList<HabitSource> sources)
    {
        var classes = order.ToDictionary(c => c.Id, c => c.Classes);
        return sources.DistinctBy(s => s.Id).Count() != sources.Count ? new("source-twice", "Two sources have one number.", "Number each source once.")
            : sources.Any(s => s.Seen.Keys.Any(id => !classes.ContainsKey(id))) ? UnknownCharacteristic
            : sources.Any(s => s.Seen.Any(v => v.Value < 0 || v.Value >= classes[v.Key])) ? UnknownValue : null;
    }

    static EvidenceRefusal? RefuseChoices(IReadOnlyList<HabitCharacteristic> order, WeighingChoices choices) =>
        choices.PosedFraction is { } posed && (posed.Sign < 0 || posed > One)
            ? new("posed-fraction", "A posed picture would count less than nothing or more than a picture of play.", "Give a fraction from 0 to 1.")
        : choices.LikenessDefault is { Sign: <= 0 } ? new("likeness-not-positive", "A is not above 0.", "Give A above 0.")
        : choices.Basis is not (ObservedIn.Play or ObservedIn.SurvivingBat)
            ? new("basis-not-counted", "Neither posed pictures nor words are counted.", "Count pictures of play or surviving bats.")
        : choices.LossFactors is { } loss && loss.Values.Any(l => l.Sign < 0 || l >= One)
            ? new("loss-factor", "A loss factor is negative, or nothing would be left.", "Give 0 up to but not 1.")
        : (choices.LossFactors?.Keys ?? []).Concat(choices.Spent ?? []).Any(id => order.All(c => c.Id != id)) ? UnknownCharacteristic
        : null;

    internal static readonly DecimalText One = DecimalText.Parse("1");

    internal static readonly EvidenceRefusal UnknownCharacteristic =
        new("unknown-characteristic", "A characteristic is named that the order does not hold.", "Name characteristics of this version of the file.");

    internal static readonly EvidenceRefusal UnknownValue =
        new("value-unknown", "A value is none of its characteristic's.", "Give 0 for absent, or a named value.");

    List<Counts> Candidates(long[] members)
    {
        List<Counts> candidates = [.. members.Select(id => Tallies.Of(id))];
        if (members.Length < 2 || !Tallies.CanBeJoint(members[..2])) return candidates;
        var joint = Tallies.Of(members[0], members[1]);
        if (joint.Occasions >= FewestJointOccasions && joint.Players >= FewestJointPlayers) candidates.Insert(0, joint);
        return candidates;
    }
}

/// <summary>Spreads already laid out: the same counts come back for many bats and for many variations of one.</summary>
sealed class SpreadBook
{
    readonly Dictionary<(double, double, double, double, int, double), Spread> known = [];

    internal Spread Of(double shown, double occasions, double shownByOthers, double players, int classes, double likeness)
    {
        var key = (shown, occasions, shownByOthers, players, classes, likeness);
        return known.TryGetValue(key, out var spread) ? spread
            : known[key] = Spread.OfRatio(shown, occasions, shownByOthers, players, classes, likeness);
    }
}
