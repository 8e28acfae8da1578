using Custody.Evidence;

namespace Custody.Bats;

/// <summary>In what capacity someone acts for another.</summary>
public enum AuthorityKind
{
    Agent,
    Executor,
    Trustee,
    Attorney,
    Court,
    Lienholder,
    OnApproval,
    Employee,
}

/// <summary>Record that someone may act for another on this bat.</summary>
/// <param name="Acts">Which acts, at least one.</param>
/// <param name="From">First day (EDTF); null for at once.</param>
/// <param name="Until">Last day (EDTF); null when not limited.</param>
/// <param name="DocumentHash">SHA-256 of the document; withheld.</param>
public sealed record RecordAuthority(
    PartyId Holder, PartyId For, AuthorityKind Kind, IReadOnlyList<AuthorisedAct> Acts, Edtf? From, Edtf? Until, AssertionBasis Basis,
    string? Terms, string? DocumentHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new AuthorityRecorded(
            people.Of(Holder, Role.Agent), people.Of(For, Role.Owner), Kind, [.. Acts.Distinct().Order()], From, Until, Basis, Terms,
            DocumentHash),
    ];
}

/// <summary>Someone may act for another, in the acts named and no others.</summary>
public sealed record AuthorityRecorded(
    Alias Holder, Alias For, AuthorityKind Kind, IReadOnlyList<AuthorisedAct> Acts, Edtf? From, Edtf? Until, AssertionBasis Basis,
    Withheld<string>? Terms, Withheld<string>? DocumentHash) : BatFact
{
    // Acts were decided on it: it ends by its own act and is not corrected away.
    public override bool MovesTitleCustodyOrHold => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Holder == For) yield return new("authority-over-oneself", "Nobody needs authority to act for themselves.", "Name two people.");
        if (Acts.Count == 0) yield return new("no-acts", "The authority names no act.", "Say what they may do.");
        // An authority may begin later than today, so only the order of its dates can be wrong.
        foreach (var refusal in Period.Refuse(From, Until, DateTimeOffset.MaxValue.AddDays(-2))) yield return refusal;
        if (!Proof.Suffices(Basis) && entry.Envelope.By != For)
            yield return new("authority-unproven", "Only the one acted for gives authority on their word alone.",
                "Have them record it, or rest it on a document or court order.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry)
    {
        var authority = new Authority(Holder, For, [.. Acts], From, Until, Ended: false) { Kind = Kind };
        return bat with { Authorities = bat.Authorities with { ByEntry = bat.Authorities.ByEntry.Add(entry.N, authority) } };
    }
}

/// <summary>When somebody's interest may be touched without their own word.</summary>
static class Proof
{
    public static bool Suffices(AssertionBasis basis) =>
        basis is AssertionBasis.Document or AssertionBasis.Letter or AssertionBasis.CourtOrder;
}
