using Custody.Evidence;
using Custody.Evidence.Weight;

namespace Custody.Bats;

/// <summary>A version of a habit file and of a comparison file, read from their entries for weighing one bat.</summary>
/// <param name="Order">Characteristics in the version's fixed order.</param>
/// <param name="Kinds">Of which kind of finding each is.</param>
/// <param name="OwnLeftOut">Sources of the player's file left out because they show the weighed bat itself, and whatever shows the same occasion.</param>
/// <param name="OthersLeftOut">Sources of the comparison file left out: of the weighed bat, or of the player himself.</param>
/// <param name="BatsNotNamed">Surviving bats in either file of which this reader is not shown which they are.</param>
public sealed record FilesToWeigh(
    IReadOnlyList<HabitCharacteristic> Order, IReadOnlyDictionary<long, FindingKind> Kinds, IReadOnlyList<HabitSource> Habits,
    IReadOnlyList<HabitSource> Comparison, IReadOnlyList<long> OwnLeftOut, IReadOnlyList<long> OthersLeftOut, int BatsNotNamed)
{
    /// <summary>Reads both files as they stood at these versions.</summary>
    /// <param name="habits">Entries of the habit file from the first on, up to the <c>CountsVersioned</c>, which is the last.</param>
    /// <param name="comparison">Entries of the comparison file, up to its <c>ComparisonCountsVersioned</c>.</param>
    /// <param name="bats">Streams of the weighed bat: its own, and those of records declared to be the same bat.</param>
    /// <exception cref="ArgumentException">The last entries are not versions of counts.</exception>
    public static FilesToWeigh Read(IReadOnlyList<Entry> habits, IReadOnlyList<Entry> comparison, IReadOnlySet<StreamName> bats)
    {
        if (habits is not [.., { Fact: CountsVersioned version }] || comparison is not [.., { Fact: ComparisonCountsVersioned }])
            throw new ArgumentException("Files are read up to a version of their counts.");
        var file = habits.Aggregate(new HabitFile(), (state, entry) => state.Fold(entry));
        var others = comparison.Aggregate(new ComparisonFile(), (state, entry) => state.Fold(entry));
        var own = Linked(file.Occasions, Showing(habits, bats));
        var hisOwn = Linked(others.Occasions, Showing(comparison, bats)).Concat(OfPlayer(habits, comparison, others)).ToHashSet();
        return Of(habits, comparison, version.Order, file, others, own, hisOwn);
    }

    /// <summary>Reads both files as their entries leave them, with what is left out said beforehand: open fields only, so that whoever holds the entries
    /// reads the same.</summary>
    /// <param name="habits">Entries of the habit file from the first on, a version of its counts among them.</param>
    /// <param name="comparison">Entries of the comparison file.</param>
    /// <param name="own">Sources of the player's file to leave out.</param>
    /// <param name="hisOwn">Sources of the comparison file to leave out.</param>
    internal static FilesToWeigh Without(IReadOnlyList<Entry> habits, IReadOnlyList<Entry> comparison, IEnumerable<long> own, IEnumerable<long> hisOwn) => Of(
        habits, comparison, habits.Select(e => e.Fact).OfType<CountsVersioned>().Last().Order, habits.Aggregate(new HabitFile(), (state, entry) => state.Fold(entry)),
        comparison.Aggregate(new ComparisonFile(), (state, entry) => state.Fold(entry)), [.. own], [.. hisOwn]);

    /// <summary>Sources of a file that show one of these bats, and whatever shows the same occasion.</summary>
    internal static IReadOnlySet<long> OwnIn(IReadOnlyList<Entry> entries, IReadOnlyDictionary<long, Occasion> occasions, IReadOnlySet<StreamName> bats) =>
        Linked(occasions, Showing(entries, bats));

    static FilesToWeigh Of(IReadOnlyList<Entry> habits, IReadOnlyList<Entry> comparison, IReadOnlyList<long> order, HabitFile file, ComparisonFile others,
        HashSet<long> own, HashSet<long> hisOwn)
    {
        // What was defined since the order was fixed has no place in it yet.
        var (same, ordered) = (SameAs(habits, comparison[0].Envelope.Stream), order.ToHashSet());
        return new FilesToWeigh(
            [.. order.Select(n => Of(n, file.Characteristics[n]))], order.ToDictionary(n => n, n => file.Characteristics[n].Kind),
            [.. Sources(file.Occasions, own, n => ordered.Contains(n) ? n : null)],
            [.. Sources(others.Occasions, hisOwn, n => same.TryGetValue(n, out var his) && ordered.Contains(his) ? his : null)],
            [.. own.Order()], [.. hisOwn.Order()], habits.Concat(comparison).Count(IsUnnamedBat));
    }

    static HabitCharacteristic Of(long n, Characteristic c) => new(
        n, FindingKinds.PartOf(c.Kind).ToString(), c.Values, Of(c.CanBeAdded), Of(c.CanBeLost), c.PublishedSince);

    static Known Of(Possible possible) => possible switch
    {
        Possible.Yes => Known.Yes,
        Possible.No => Known.No,
        _ => Known.NotKnown,
    };

    /// <summary>Sources that count, under the numbers of the habit file's characteristics; withdrawn ones show nothing, but their links still hold.</summary>
    static IEnumerable<HabitSource> Sources(IReadOnlyDictionary<long, Occasion> occasions, HashSet<long> leftOut, Func<long, long?> his) =>
        occasions.Where(o => !leftOut.Contains(o.Key)).Select(o => new HabitSource(
            o.Key, o.Value.Pool switch
            {
                Pool.InPlay => ObservedIn.Play,
                Pool.Posed => ObservedIn.Posed,
                Pool.SurvivingBats => ObservedIn.SurvivingBat,
                _ => ObservedIn.Narrative,
            },
            o.Value.Player?.Number ?? 0, o.Value.When, o.Value.CopyOf, o.Value.SameOccasion,
            o.Value.Withdrawn is not null ? new Dictionary<long, int>() : Seen(o.Value, his)));

    static Dictionary<long, int> Seen(Occasion occasion, Func<long, long?> his) => occasion.Observations
        .Where(s => s.Observed != Observed.CouldNotBeSeen && his(s.Characteristic) is not null).ToDictionary(s => his(s.Characteristic)!.Value, s => s.Value ?? 0);

    static Dictionary<long, long> SameAs(IReadOnlyList<Entry> habits, StreamName comparison) => habits.Select(e => (e.N, Fact: e.Fact as CharacteristicDefined))
        .Where(d => d.Fact?.SameAs is { } same && same.Ledger is null && same.Stream == comparison).DistinctBy(d => d.Fact!.SameAs!.N)
        .ToDictionary(d => d.Fact!.SameAs!.N, d => d.N);

    // The entry that documents a bat's custody is open and stands on the bat's own stream; the reference to the bat itself is withheld.
    static HashSet<long> Showing(IEnumerable<Entry> entries, IReadOnlySet<StreamName> bats) =>
        [.. entries.Where(e => BatsIn(e.Fact).Any(r => r.Ledger is null && bats.Contains(r.Stream))).Select(e => e.N)];

    static IEnumerable<Reference> BatsIn(Fact fact) => fact switch
    {
        OccasionRecorded { Bat.Value: { } bat } => [bat],
        ComparisonOccasionRecorded { Bat.Value: { } bat } => [bat],
        OccasionRecorded2 o => new[] { o.Custody, o.Bat?.Value }.OfType<Reference>(),
        ComparisonOccasionRecorded2 o => new[] { o.Custody, o.Bat?.Value }.OfType<Reference>(),
        _ => [],
    };

    static bool IsUnnamedBat(Entry entry) => !BatsIn(entry.Fact).Any()
        && entry.Fact is OccasionRecorded { Kind: OccasionKind.SurvivingBat } or ComparisonOccasionRecorded { Kind: OccasionKind.SurvivingBat };

    /// <summary>Everything of the same occasions.</summary>
    static HashSet<long> Linked(IReadOnlyDictionary<long, Occasion> occasions, HashSet<long> shown)
    {
        var roots = Independence.Roots(occasions.Select(o => (o.Key, o.Value.CopyOf, o.Value.SameOccasion)));
        var own = shown.Where(roots.ContainsKey).Select(n => roots[n]).ToHashSet();
        return [.. roots.Where(r => own.Contains(r.Value)).Select(r => r.Key)];
    }

    // He is not his own alternative. Who he is in the other file stands in what is withheld; not shown, nothing is left out.
    static IEnumerable<long> OfPlayer(IReadOnlyList<Entry> habits, IReadOnlyList<Entry> comparison, ComparisonFile others)
    {
        if (PartyOf(habits, ((HabitFileOpened)habits[0].Fact).Player) is not { } player) return [];
        return others.Occasions.Where(o => PartyOf(comparison, o.Value.Player!.Value) == player).Select(o => o.Key);
    }

    static string? PartyOf(IEnumerable<Entry> entries, Alias alias) => entries.Select(e => e.Fact.Parties)
        .FirstOrDefault(p => p?.ContainsKey(alias.ToString()) == true)?[alias.ToString()].PartyStream?.Value;
}
