using System.Collections.Immutable;

namespace Custody.Bats;

/// <summary>One mix-up as this bat's record sees it.</summary>
/// <param name="Other">The other bat: an entry of its stream.</param>
/// <param name="FoundBy">Who recorded it; null when the ledger did.</param>
/// <param name="InDoubt">Entries of this record that may concern the other bat and are not yet confirmed here.</param>
/// <param name="Placed">True once a settlement has said where this bat is.</param>
public sealed record MixUp(Reference Other, Alias? FoundBy, ImmutableSortedSet<long> InDoubt, bool Placed);

/// <summary>A mix-up freezes labels and hand-overs until each entry in doubt, and each that rests on one, is settled: confirmed here by
/// <c>MixUpSettled</c>, or void here by a correction; and until a settlement has said where this bat is.</summary>
public static class MixUps
{
    /// <summary>Entries that mix-up <paramref name="n"/> leaves to be settled, ascending.</summary>
    public static IReadOnlyList<long> Unsettled(Bat bat, long n) =>
    [
        .. bat.Identity.MixUps[n].InDoubt
            .Concat(bat.Corrections.Open.Where(item => item.Cause == n).Select(item => item.Entry))
            .Where(entry => !bat.Corrections.IsVoid(entry)).Distinct().Order(),
    ];

    /// <summary>Mix-ups that are not settled yet.</summary>
    public static IEnumerable<long> Open(Bat bat) => bat.Identity.MixUps
        .Where(m => !bat.Corrections.IsVoid(m.Key) && (!m.Value.Placed || Unsettled(bat, m.Key).Count > 0)).Select(m => m.Key);

    /// <summary>The refusal that hand-overs and labels meet while a mix-up is open, otherwise nothing.</summary>
    public static IEnumerable<Refusal> RefuseWhileMixedUp(this Bat bat) => Open(bat).Take(1).Select(n =>
        new Refusal("mixed-up", $"This bat was mixed up with another (entry {n}) and that is not settled.",
            "Settle every entry in doubt and say where this bat is."));
}
