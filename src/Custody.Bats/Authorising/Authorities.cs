using System.Collections.Immutable;
using Custody.Evidence;

namespace Custody.Bats;

/// <summary>What someone may be authorised to do for another.</summary>
public enum AuthorisedAct
{
    Consign,
    Offer,
    Sell,
    Release,
    Receive,
    PassTitle,
    Disclose,
}

/// <summary>A recorded authority, by the number of its entry.</summary>
/// <param name="Holder">Who may act.</param>
/// <param name="For">For whom.</param>
/// <param name="Until">Last day, when limited (EDTF).</param>
public sealed record Authority(Alias Holder, Alias For, ImmutableSortedSet<AuthorisedAct> Acts, Edtf? From, Edtf? Until, bool Ended)
{
    public AuthorityKind Kind { get; init; }
}

/// <summary>Every authority recorded on this bat.</summary>
public sealed record Authorities
{
    public ImmutableSortedDictionary<long, Authority> ByEntry { get; init; } = ImmutableSortedDictionary<long, Authority>.Empty;

    /// <summary>True when <paramref name="actor"/> is that person, or has an authority in force at the time of recording.</summary>
    public bool Allow(Alias actor, Alias principal, AuthorisedAct act, DateTimeOffset recorded) =>
        actor == principal
        || ByEntry.Values.Any(a => a.Holder == actor && a.For == principal && a.Acts.Contains(act) && InForce(a, recorded));

    static bool InForce(Authority authority, DateTimeOffset recorded)
    {
        var today = DateOnly.FromDateTime(recorded.UtcDateTime);
        return !authority.Ended
            && !(authority.From?.CertainlyAfter(today) ?? false)
            && !(authority.Until?.CertainlyBefore(today) ?? false);
    }
}

/// <summary>Rule 2: only holders of asserted title, or someone with recorded authority, consign, offer or sell.</summary>
public static class Mandate
{
    /// <summary>True when whoever records the entry is that person, or has recorded authority to do this for them.</summary>
    public static bool ActsFor(Bat bat, Entry entry, Alias principal, AuthorisedAct act) =>
        entry.Envelope.By is { } by && bat.Authorities.Allow(by, principal, act, entry.Envelope.Recorded);

    /// <summary>True when the actor holds, or acts for, every share of the title as asserted; a house acts for a consignor while the
    /// consignment is open, for offering and selling.</summary>
    public static bool Covers(Bat bat, Alias actor, AuthorisedAct act, DateTimeOffset recorded) =>
        bat.Title.Standing == TitleStanding.Asserted && !bat.Title.Shares.IsEmpty
        && bat.Title.Shares.Keys.All(holder => bat.Authorities.Allow(actor, holder, act, recorded) || Consigned(bat, actor, act));

    /// <summary>The same, asked of whoever records the entry; the ledger itself covers nothing.</summary>
    public static bool Covers(Bat bat, Entry entry, AuthorisedAct act) =>
        entry.Envelope.By is { } by && Covers(bat, by, act, entry.Envelope.Recorded);

    // A consignment was itself made by someone who covered every share, so it covers every share while the same people hold them.
    static bool Consigned(Bat bat, Alias actor, AuthorisedAct act) =>
        act is AuthorisedAct.Offer or AuthorisedAct.Sell && bat.Consignments.OpenFor(bat.Title) is { } open && open.House == actor;
}
