namespace Custody.Bats;

/// <summary>Why a consignment ended.</summary>
public enum ConsignmentEnding
{
    Sold,
    Unsold,
    ConsignorWithdrew,
    HouseDeclined,
    TermRanOut,
    Other,
}

/// <summary>End a consignment; the bat goes back by its own hand-over.</summary>
/// <param name="Consignment">Number of the <c>BatConsigned</c>.</param>
public sealed record EndConsignment(long Consignment, ConsignmentEnding Ending, string? Reason) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) => [new ConsignmentEnded(Consignment, Ending, Reason)];
}

/// <summary>The house has no more say over the bat.</summary>
public sealed record ConsignmentEnded(long Consignment, ConsignmentEnding Ending, Withheld<string>? Reason) : BatFact
{
    public override IEnumerable<long> RestsOn => [Consignment];

    public override bool DecidesBy(string member) => member is nameof(Consignment);

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (!bat.Consignments.ByEntry.TryGetValue(Consignment, out var consignment) || consignment.Ended)
        {
            yield return new("no-open-consignment", $"Entry {Consignment} is not an open consignment.", "Name the consignment that is open.");
            yield break;
        }
        if (bat.Lots.Open is { } lot)
            yield return new("lot-open", $"The bat is offered as a lot (entry {lot.Key}).", "Withdraw or pass the lot first.");
        if (bat.Sales.Agreed is { } sale)
            yield return new("already-sold", $"The bat is sold (entry {sale.Key}).", "Let title pass, or cancel the sale first.");
        if (entry.Envelope.By is not { } by || !IsSide(bat, by, consignment, entry.Envelope.Recorded))
            yield return new("not-a-side", "Only the consignor or the house ends a consignment.", "Ask one of them to record it.");
    }

    static bool IsSide(Bat bat, Alias by, Consignment consignment, DateTimeOffset recorded) =>
        by == consignment.House || bat.Authorities.Allow(by, consignment.Consignor, AuthorisedAct.Consign, recorded);

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Consignments = bat.Consignments with
        {
            ByEntry = bat.Consignments.ByEntry.SetItem(
                Consignment, bat.Consignments.ByEntry[Consignment] with { EndedBy = entry.N }),
        },
    };
}
