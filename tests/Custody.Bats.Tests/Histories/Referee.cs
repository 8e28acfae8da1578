using System.Numerics;

namespace Custody.Bats.Tests.Histories;

/// <summary>Keeps its own books of title, custody and holds from the entries that were permitted, in the plainest way, and says what breaks a rule. It reads
/// what was recorded, never the state that the rules themselves decide by; that state must say the same as these books.</summary>
sealed class Referee
{
    sealed record Transit(long Entry, Alias From, Alias To, bool Back);

    Alias? keeper;
    Transit? transit;
    Dictionary<Alias, Fraction> shares = [];
    readonly Dictionary<long, HoldPlaced> holds = [];
    readonly Dictionary<long, Alias?> placed = [];
    readonly List<(long Entry, AuthorityRecorded Authority)> authorities = [];
    readonly Dictionary<long, BatSold> sales = [];
    readonly Dictionary<long, Dictionary<Alias, Fraction>> sellers = [];

    /// <summary>What is wrong with an entry that was permitted, or with the state after it; empty when nothing is.</summary>
    public IEnumerable<string> Judge(Entry entry, Bat after)
    {
        foreach (var fault in Allowed(entry)) yield return fault;
        Book(entry);
        if (after.Keeping is { Custodian: not null, InTransit: not null }) yield return "The bat is kept and in transit at once.";
        if (after.Keeping.Custodian != keeper) yield return $"Kept by {after.Keeping.Custodian}, and by the entries by {keeper}.";
        if (after.Keeping.InTransit != transit?.Entry) yield return $"In transit since {after.Keeping.InTransit}, and by the entries since {transit?.Entry}.";
        if (!Same(after.Title.Shares, shares)) yield return $"Title of {string.Join(", ", after.Title.Shares)}, and by the entries of {string.Join(", ", shares)}.";
        if (after.Title.Shares.Count > 0 && !IsWhole(after.Title.Shares.Values)) yield return "The shares make no whole.";
        if (!after.Holds.ByEntry.Where(h => !h.Value.Lifted).Select(h => h.Key).SequenceEqual(holds.Keys.Order())) yield return "Other holds stand than were placed and not lifted.";
        if (after.Lots.ByEntry.Values.Count(l => l.Standing == LotStanding.Offered) + after.Sales.ByEntry.Values.Count(s => s.Standing == SaleStanding.Agreed) > 1)
            yield return "Offered or sold twice at once.";
        if (after.Consignments.ByEntry.Values.Count(c => !c.Ended) > 1) yield return "Consigned twice at once.";
    }

    IEnumerable<string> Allowed(Entry entry)
    {
        var by = entry.Envelope.By!.Value;
        switch (entry.Fact)
        {
            case BatReleased released:
                if (keeper is null || keeper != released.From) yield return "Released by somebody who does not have it.";
                if (!MayFor(by, released.From, AuthorisedAct.Release) && !(released.Attestation == Attestation.SignedPaper && by == released.To)) yield return "Released without the keeper's word.";
                if (!Safe(released.Purpose) && Held(HoldScope.Release)) yield return "Released under a hold.";
                break;
            case BatReceived received when transit is null || transit.Entry != received.Handover:
                yield return "Received, and never released.";
                break;
            case BatReceived received when !MayFor(received.Receiver, transit!.Back ? transit.From : transit.To, AuthorisedAct.Receive):
                yield return "Received by somebody it was not bound for.";
                break;
            case HandoverRefused refused when transit?.Entry != refused.Handover || transit.Back:
            case HandoverRecalled recalled when transit?.Entry != recalled.Handover || transit.Back:
            case Misdelivered misdelivered when transit?.Entry != misdelivered.Handover:
                yield return "Turned back, and not on its way.";
                break;
            case LotOffered or LotReoffered when Held(HoldScope.Offer):
                yield return "Offered under a hold.";
                break;
            case BatSold when Held(HoldScope.Sell):
                yield return "Sold under a hold.";
                break;
            case BatAcquired or TitlePassed or ClaimResolved { Title.Count: > 0 } or SaleRescinded { Ground: not RescissionGround.CourtOrder } when Held(HoldScope.PassTitle):
                yield return "Title moved under a hold.";
                break;
            case BatAcquired acquired when Losers(acquired.Title).Any(loser => !MayFor(by, loser, AuthorisedAct.PassTitle)):
            case ClaimResolved { Title.Count: > 0, Basis: not AssertionBasis.CourtOrder } resolved when Losers(resolved.Title).Any(loser => !MayFor(by, loser, AuthorisedAct.PassTitle)):
                yield return "Title taken from somebody who did not agree.";
                break;
            case TitlePassed passed when !sales.TryGetValue(passed.Sale, out _) || !Same(sellers[passed.Sale], shares):
                yield return "Title passed by a sale of what the sellers no longer hold.";
                break;
            case HoldLifted lifted when !holds.ContainsKey(lifted.Hold) || (placed[lifted.Hold] != by && lifted.Basis != AssertionBasis.CourtOrder):
                yield return "A hold lifted that does not stand, or by a stranger.";
                break;
            case EntryCorrected { Kind: not CorrectionKind.Clerical } corrected when moved.Contains(corrected.Of.N):
                yield return "Title, custody or a hold corrected away.";
                break;
        }
    }

    readonly HashSet<long> moved = [];

    void Book(Entry entry)
    {
        if (entry.Fact is BatFact { MovesTitleCustodyOrHold: true }) moved.Add(entry.N);
        switch (entry.Fact)
        {
            case BatRegistered registered: (keeper, shares) = (registered.Custodian, Of(registered.Title)); break;
            case BatReleased released: (keeper, transit) = (null, new(entry.N, released.From, released.To, Back: false)); break;
            case BatReceived: (keeper, transit) = (transit!.Back ? transit.From : transit.To, null); break;
            case HandoverRefused { Where: var where }: TurnBack(where); break;
            case HandoverRecalled { Where: var where }: TurnBack(where); break;
            case Misdelivered misdelivered: (keeper, transit) = (misdelivered.With, null); break;
            // Whoever has it and says that it is missing no longer has it; anybody else's report moves nothing.
            case ReportedMissing when keeper is { } had && MayFor(entry.Envelope.By!.Value, had, AuthorisedAct.Release): keeper = null; break;
            case Recovered recovered when transit is null: keeper = recovered.Keeper; break;
            case BatAcquired acquired: shares = Of(acquired.Title); break;
            case ClaimResolved { Title.Count: > 0 } resolved: shares = Of(resolved.Title); break;
            case BatSold sold: (sales[entry.N], sellers[entry.N]) = (sold, new(shares)); break;
            case TitlePassed passed: shares = new() { [sales[passed.Sale].Buyer] = Fraction.Whole }; break;
            case SaleRescinded rescinded: shares = new(sellers[rescinded.Sale]); break;
            case HoldPlaced hold: (holds[entry.N], placed[entry.N]) = (hold, entry.Envelope.By); break;
            case HoldLifted lifted: holds.Remove(lifted.Hold); break;
            case AuthorityRecorded recorded: authorities.Add((entry.N, recorded)); break;
            case AuthorityEnded ended: authorities.RemoveAll(a => a.Entry == ended.Authority); break;
        }
    }

    void TurnBack(TurnedBackAt where) =>
        (keeper, transit) = where == TurnedBackAt.StillWithReleaser ? (transit!.From, null) : (keeper, transit! with { Back = true });

    bool Held(HoldScope scope) => holds.Values.Any(h => h.Scope.Contains(scope));

    bool MayFor(Alias actor, Alias principal, AuthorisedAct act) =>
        actor == principal || authorities.Any(a => a.Authority.Holder == actor && a.Authority.For == principal && a.Authority.Acts.Contains(act));

    IEnumerable<Alias> Losers(IReadOnlyList<TitleShare> next) =>
        shares.Where(s => next.Where(n => n.Holder == s.Key).Select(n => n.Share).FirstOrDefault() is not { } kept || kept.IsLessThan(s.Value)).Select(s => s.Key);

    static bool Safe(HandoverPurpose purpose) =>
        purpose is HandoverPurpose.Court or HandoverPurpose.Police or HandoverPurpose.Insurer or HandoverPurpose.Treatment or HandoverPurpose.SafeKeeping;

    static Dictionary<Alias, Fraction> Of(IEnumerable<TitleShare> title) => title.ToDictionary(t => t.Holder, t => t.Share);

    static bool Same(IReadOnlyDictionary<Alias, Fraction> a, Dictionary<Alias, Fraction> b) =>
        a.Count == b.Count && a.All(s => b.TryGetValue(s.Key, out var other) && s.Value == other);

    /// <summary>All shares over one denominator.</summary>
    static bool IsWhole(IEnumerable<Fraction> all)
    {
        var over = all.Aggregate(BigInteger.One, (product, f) => product * f.Of);
        return all.All(f => f.Parts > 0) && all.Aggregate(BigInteger.Zero, (sum, f) => sum + (over / f.Of * f.Parts)) == over;
    }
}
