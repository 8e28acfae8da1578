namespace Custody.Bats;

/// <summary>Where the bat proved to be, once two bats were told apart.</summary>
public enum CustodyFinding
{
    AsRecorded,
    WithAnother,
    NotKnown,
}

/// <summary>Settle a mix-up on one of its two bats, at once or in several goes: confirm entries as this bat's own, and say where this
/// bat is. Entries that concern the other bat are not confirmed but corrected: void here, restated there.</summary>
/// <param name="MixUp">Entry of the <c>MixUpFound</c>.</param>
/// <param name="Confirmed">Entries in doubt, or resting on one, that concern this bat.</param>
/// <param name="Custodian">Who keeps this bat, exactly when <see cref="CustodyFinding.WithAnother"/>.</param>
/// <param name="Check">Entry of the identity check that told the two apart, if one was made.</param>
public sealed record SettleMixUp(
    long MixUp, IReadOnlyList<long> Confirmed, CustodyFinding Custody, PartyId? Custodian, long? Check, string? Explanation) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new MixUpSettled(MixUp, [.. Confirmed.Distinct().Order()], Custody, people.OfMaybe(Custodian, Role.Custodian), Check, Explanation),
    ];
}

/// <summary>Entries confirmed as this bat's own, and where it is. A hand-over still open ends as misdelivered when the bat is
/// elsewhere.</summary>
public sealed record MixUpSettled(
    long MixUp, IReadOnlyList<long> Confirmed, CustodyFinding Custody, Alias? Custodian, long? Check,
    Withheld<string>? Explanation) : BatFact
{
    public override IEnumerable<long> RestsOn => Check is { } check ? [check] : [];
    public override IEnumerable<long> Settles => Confirmed;
    public override bool MovesTitleCustodyOrHold => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        var mixUp = bat.Identity.MixUps.GetValueOrDefault(MixUp);
        if (Grounds.Refuse(bat, bat.Identity.MixUps, MixUp, "mix-up") is { } refused)
        {
            yield return refused;
            yield break;
        }
        if (!MixUps.Open(bat).Contains(MixUp))
            yield return new("mix-up-settled", "That mix-up is settled.", "Record a new one if it happened again.");
        foreach (var n in Confirmed.Except(MixUps.Unsettled(bat, MixUp)))
            yield return new("not-in-doubt", $"Entry {n} is not left in doubt by that mix-up.", "Confirm only entries that are.");
        if (Check is { } check && Grounds.Refuse(bat, bat.Identity.Checks, check, "check") is { } unchecked_) yield return unchecked_;
        if (Custody == CustodyFinding.WithAnother != Custodian is not null || (Custodian is not null && Custodian == bat.Keeping.Custodian))
            yield return new("custodian-not-fitting", "Another custodian is named exactly when the bat is with another.",
                "Name who keeps it, or say as recorded.");
        if (entry.Envelope.By is not { } by || (by != mixUp!.FoundBy && by != bat.Keeping.Custodian && by != Custodian))
            yield return new("not-yours-to-settle", "A mix-up is settled by who found it, or by who keeps the bat.",
                "Ask one of them to settle it.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry)
    {
        var mixUp = bat.Identity.MixUps[MixUp];
        var settled = mixUp with { InDoubt = mixUp.InDoubt.Except(Confirmed), Placed = true };
        return bat with
        {
            Identity = bat.Identity with { MixUps = bat.Identity.MixUps.SetItem(MixUp, settled) },
            Keeping = Custody == CustodyFinding.AsRecorded ? bat.Keeping : bat.Keeping.FoundWith(Custodian, entry.N),
        };
    }
}
