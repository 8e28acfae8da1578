namespace Custody.Bats;

/// <summary>What must be finished before a record may end: otherwise bad news, or somebody's right, would be left behind in a record
/// that nobody continues.</summary>
static class Unfinished
{
    public static IEnumerable<Refusal> RefuseOn(Bat bat)
    {
        if (bat.Keeping.InTransit is { } transit)
            yield return new("in-transit", $"The bat is in transit (entry {transit}).", "Have it received, refused or recalled first.");
        foreach (var refusal in RefuseOnTrade(bat).Take(1)) yield return refusal;
        foreach (var hold in bat.Holds.ByEntry.Where(h => !h.Value.Lifted).Take(1))
            yield return new("hold-in-force", $"A hold (entry {hold.Key}) is in force.",
                "Place it where the record goes on, then lift it here.");
        foreach (var claim in bat.Claims.OpenClaims.Take(1))
            yield return new("claim-open", $"A claim (entry {claim}) is open.", "Raise it where the record goes on, then resolve it here.");
        foreach (var missing in bat.Claims.OpenMissing.Take(1))
            yield return new("reported-missing", $"The bat is reported missing (entry {missing}).", "Record its recovery first.");
        foreach (var refusal in bat.RefuseWhileMixedUp()) yield return refusal;
    }

    /// <summary>Refuses while somebody was promised the bat: an agreed sale, an open lot, a consignment; the nearest to a buyer first.</summary>
    public static IEnumerable<Refusal> RefuseOnTrade(Bat bat)
    {
        if (bat.Sales.Agreed is { Key: var sale })
            yield return new("sale-open", $"The bat is sold (entry {sale}) and title has not passed.", "Complete or cancel the sale first.");
        if (bat.Lots.Open is { Key: var lot })
            yield return new("lot-open", $"The bat is offered (entry {lot}).", "Withdraw the lot first.");
        if (bat.Consignments.Open is not null)
            yield return new("consignment-open", "The bat is consigned.", "End the consignment first.");
    }
}
