namespace Custody.Bats;

/// <summary>The bat did not reach the one it was bound for: it is with somebody else, or nobody knows where.</summary>
/// <param name="Handover">Entry of the <c>BatReleased</c>.</param>
/// <param name="With">Who has it; null when not known.</param>
public sealed record ReportMisdelivery(long Handover, PartyId? With, string? Explanation) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new Misdelivered(Handover, people.OfMaybe(With, Role.Custodian), Explanation)];
}

/// <summary>The hand-over went wrong; custody is with whoever has the bat, or not known.</summary>
public sealed record Misdelivered(long Handover, Alias? With, Withheld<string>? Explanation) : BatFact
{
    public override bool AllowedAfterTheEnd => true;
    public override bool MovesTitleCustodyOrHold => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (OpenHandover.Refuse(bat, Handover) is { } refused)
        {
            yield return refused;
            yield break;
        }
        var open = bat.Keeping.Handovers[Handover];
        if (With == open.Bound)
            yield return new("delivered-as-named", "The bat is with the one it was bound for.", "Have them receive it.");
        if (entry.Envelope.By is not { } by || (by != With && by != open.Carrier
            && !Mandate.ActsFor(bat, entry, open.From, AuthorisedAct.Release)
            && !Mandate.ActsFor(bat, entry, open.To, AuthorisedAct.Receive)))
            yield return new("not-a-side", "A misdelivery is recorded by either side, the carrier, or whoever has the bat.",
                "Ask one of them to record it.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with { Keeping = bat.Keeping.FoundWith(With, entry.N) };
}
