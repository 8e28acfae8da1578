using System.Collections.Immutable;
using Custody.Evidence;
using Custody.Evidence.Weight;

namespace Custody.Bats;

/// <summary>One occasion, by the number of its entry.</summary>
/// <param name="Player">Whose, in a file of many players; null in the file of one.</param>
/// <param name="Withdrawn">Number of the entry that withdrew it.</param>
public sealed record Occasion(
    OccasionKind Kind, Alias? Player, Edtf? When, long? CopyOf, long? SameOccasion, ImmutableList<Observation> Observations, long? Withdrawn)
{
    public Pool Pool => Kind switch
    {
        OccasionKind.InPlayPicture or OccasionKind.Film => Pool.InPlay,
        OccasionKind.PosedPicture or OccasionKind.Portrait or OccasionKind.Card => Pool.Posed,
        OccasionKind.SurvivingBat => Pool.SurvivingBats,
        _ => Pool.Narrative,
    };

    internal static IEnumerable<Refusal> Refuse(
        OccasionKind kind, BatEntry entry, Alias? player, long? copyOf, long? sameOccasion, IReadOnlyDictionary<long, Occasion> known)
    {
        if (new[] { copyOf, sameOccasion }.OfType<long>().Any(n => !known.ContainsKey(n) || known[n].Player != player))
            yield return new("no-such-occasion", "A copy or the same occasion names no occasion of this player here.",
                "Name an occasion of the file.");
        if ((kind == OccasionKind.SurvivingBat) != (entry != BatEntry.NotABat))
            yield return new("bat-entry-not-said", "A surviving bat does not say how it comes in, or something else does.",
                "Say so exactly for a bat.");
        if (entry == BatEntry.HabitsAttributedIt)
            yield return new("bat-by-attribution", "A bat enters only by documented custody from club or player.",
                "Leave it out until custody is documented.");
    }

    /// <summary>What a bat's entry into a file has to rest on.</summary>
    internal static IEnumerable<Refusal> RefuseCustody(OccasionKind kind, BatEntry entry, Reference? custody, ICited cited)
    {
        if (kind == OccasionKind.SurvivingBat && (entry is BatEntry.CustodyFromPlayer or BatEntry.CustodyFromClub) && !Documents(custody, entry, cited))
            yield return new("bat-custody-not-documented", "No entry of the bat's own history documents custody from that club or player.",
                "Cite the entry of the bat that reports their custody on a document, letter or record, or its registration from them.");
        if (kind != OccasionKind.SurvivingBat && custody is not null)
            yield return new("bat-custody-of-no-bat", "An occasion that is no bat cites a bat's custody.", "Cite it for a surviving bat only.");
    }

    // Both kinds of entry are open, so that a checker finds the same; a word alone, or a holder's word, documents nothing.
    static bool Documents(Reference? custody, BatEntry entry, ICited cited) => custody is not null && cited.Find(custody)?.Fact switch
    {
        CustodyReported report => IsDocument(report.Basis)
            && report.Capacity == (entry == BatEntry.CustodyFromPlayer ? CustodyCapacity.Player : CustodyCapacity.Club),
        BatRegistered bat => IsDocument(bat.CustodyBasis) && bat.Arrival == (entry == BatEntry.CustodyFromPlayer ? Arrival.FromPlayer : Arrival.FromClub),
        _ => false,
    };

    internal static bool IsDocument(AssertionBasis basis) =>
        basis is AssertionBasis.Document or AssertionBasis.Letter or AssertionBasis.HouseRecord or AssertionBasis.CourtOrder;

    internal static Refusal? RefuseWithdrawal(IReadOnlyDictionary<long, Occasion> known, long n) =>
        !known.TryGetValue(n, out var occasion) ? new("no-such-occasion", $"Entry {n} is no occasion.", "Name the entry that recorded it.")
        : occasion.Withdrawn is not null ? new("withdrawn-already", "This occasion is withdrawn.", "Nothing is left to do.")
        : null;
}

/// <summary>Counts of one characteristic over the independent occasions of one pool.</summary>
/// <param name="Player">Whose, in a file of many players.</param>
/// <param name="Of">How many occasions showed each value; first absence (value 0), then value 1, 2, ...</param>
public sealed record ValueCounts(long Characteristic, Pool Pool, Alias? Player, IReadOnlyList<int> Of) : IPart
{
    internal bool SameAs(ValueCounts other) =>
        (Characteristic, Pool, Player) == (other.Characteristic, other.Pool, other.Player) && Of.SequenceEqual(other.Of);
}

/// <summary>Counts occasions. Copies of one picture and pictures of one game are one occasion.</summary>
static class Tally
{
    /// <summary>Every count that is not all zero, by characteristic, pool, player. Narrative is never counted. An occasion known from several
    /// entries counts what the earliest of them shows of a characteristic; withdrawn entries show nothing, their links still hold.</summary>
    internal static IReadOnlyList<ValueCounts> Of(
        ImmutableSortedDictionary<long, Characteristic> defined, ImmutableSortedDictionary<long, Occasion> occasions)
    {
        var roots = Independence.Roots(occasions.Select(o => (o.Key, o.Value.CopyOf, o.Value.SameOccasion)));
        var counted = occasions.Where(o => o.Value.Withdrawn is null && o.Value.Pool != Pool.Narrative)
            .SelectMany(o => o.Value.Observations.Where(s => s.Observed != Observed.CouldNotBeSeen)
                .Select(s => (s.Characteristic, o.Value.Pool, o.Value.Player, Root: roots[o.Key], Value: s.Value ?? 0)))
            // Grouping keeps the order of entries, so the first of a group is the earliest.
            .GroupBy(s => (s.Characteristic, s.Pool, s.Player, s.Root)).Select(occasion => occasion.First());
        return [.. counted.GroupBy(s => (s.Characteristic, s.Pool, s.Player))
            .OrderBy(g => g.Key.Characteristic).ThenBy(g => g.Key.Pool).ThenBy(g => g.Key.Player?.Number ?? 0)
            .Select(g => new ValueCounts(g.Key.Characteristic, g.Key.Pool, g.Key.Player,
                [.. Enumerable.Range(0, defined[g.Key.Characteristic].Values + 1).Select(value => g.Count(s => s.Value == value))]))];
    }
}
