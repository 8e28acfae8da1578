using Custody.Evidence;

namespace Custody.Bats;

/// <summary>What an insurer did about an incident.</summary>
public enum InsurerDecision
{
    PaidRepair,
    PaidPart,
    PaidTotalLoss,
    Declined,
}

/// <summary>What became of title with the payment.</summary>
public enum TitleEffect
{
    Stays,
    PassesToInsurer,
}

/// <summary>Record an insurer's settlement. A total-loss payment may move title to the insurer; then the holders of title agree, by
/// themselves or by someone they authorised to pass it.</summary>
/// <param name="Incident">Entry of the <c>IncidentReported</c>.</param>
/// <param name="Amount">Withheld.</param>
public sealed record SettleInsurance(
    long Incident, PartyId Insurer, InsurerDecision Decision, TitleEffect Title, Money? Amount, string? Terms,
    string? DocumentHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new InsurerSettled(Incident, people.Of(Insurer, Role.Insurer), Decision, Title, Amount, Terms, DocumentHash)];
}

/// <summary>The insurer settled. Payment under a hold on passing title is recorded; title waits.</summary>
public sealed record InsurerSettled(
    long Incident, Alias Insurer, InsurerDecision Decision, TitleEffect Title, Withheld<Money>? Amount, Withheld<string>? Terms,
    Withheld<string>? DocumentHash) : BatFact
{
    // Paid after the bat was destroyed: the usual order.
    public override bool AllowedAfterTheEnd => true;
    public override bool MovesTitleCustodyOrHold => true;
    public override IEnumerable<long> RestsOn => [Incident];

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Grounds.Refuse(bat, bat.Incidents.ByEntry, Incident, "incident") is { } refused) yield return refused;
        if (Title == TitleEffect.Stays) yield break;
        foreach (var refusal in bat.RefuseElsewhere()) yield return refusal;
        if (Decision != InsurerDecision.PaidTotalLoss)
            yield return new("not-total-loss", "Title passes to an insurer only with a total-loss payment.", "Say that title stays.");
        if (bat.Title.IsHeldBy(Insurer)) yield return new("title-unchanged", "The insurer holds title already.", "Say that title stays.");
        if (!Mandate.Covers(bat, entry, AuthorisedAct.PassTitle))
            yield return new("not-title-holder", "Title passes only by those who hold it, undisputed, or by someone they authorised.",
                "Have the holders record it, or record their authority first.");
        foreach (var refusal in bat.Holds.RefuseUnder(HoldScope.PassTitle)) yield return refusal;
    }

    protected override Bat ApplyTo(Bat bat, Entry entry)
    {
        var incident = bat.Incidents.ByEntry[Incident];
        return bat with
        {
            Incidents = bat.Incidents with
            {
                ByEntry = bat.Incidents.ByEntry.SetItem(Incident, incident with { Settlements = incident.Settlements.Add(entry.N) }),
            },
            Title = Title == TitleEffect.Stays ? bat.Title : Bats.Title.AssertedBy([new TitleShare(Insurer, Fraction.Whole)], entry.N),
        };
    }
}
