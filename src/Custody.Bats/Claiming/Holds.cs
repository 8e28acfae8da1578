using System.Collections.Immutable;
using Custody.Evidence;

namespace Custody.Bats;

/// <summary>What a hold can stop (rule 3: its scope and nothing else).</summary>
public enum HoldScope
{
    Offer,
    Sell,
    PassTitle,
    Release,
}

/// <summary>One hold, by the number of its <c>HoldPlaced</c>.</summary>
/// <param name="Review">When it must be looked at again (EDTF).</param>
public sealed record Hold(ImmutableSortedSet<HoldScope> Scope, HoldGround Ground, Edtf? Review, bool Lifted)
{
    /// <summary>Who placed it; null when the ledger did.</summary>
    public Alias? By { get; init; }
}

/// <summary>Every hold recorded on this bat.</summary>
public sealed record Holds
{
    public ImmutableSortedDictionary<long, Hold> ByEntry { get; init; } = ImmutableSortedDictionary<long, Hold>.Empty;

    public IEnumerable<long> Stopping(HoldScope scope) =>
        ByEntry.Where(h => !h.Value.Lifted && h.Value.Scope.Contains(scope)).Select(h => h.Key);

    /// <summary>The refusal when a hold in force stops this, otherwise nothing.</summary>
    public IEnumerable<Refusal> RefuseUnder(HoldScope scope) => Stopping(scope).Take(1).Select(n =>
        new Refusal("on-hold", $"A hold (entry {n}) stops this.", "Have the hold lifted, with a reason, or wait."));
}

/// <summary>Why a bat is held.</summary>
public enum HoldGround
{
    TitleDispute,
    ReportedMissing,
    CourtOrder,
    PoliceRequest,
    InsurerRequest,
    Identity,
    Payment,
    Condition,
    HouseDecision,
}
