using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Web.Pages;

namespace Custody.Server.Owning;

/// <summary>Where a bat is, and what stands open on it, in an owner's words.</summary>
static class OpenThings
{
    public static string Where(BatSheet sheet, Alias own)
    {
        if (sheet.Ending is { } ending) return $"This record does not go on here: {ending.Replace('-', ' ')}";
        return sheet.Custody switch
        {
            { State: LinkState.Held, Custodian: { } keeper } => keeper.Alias == own ? "With you" : $"With {Name(keeper)}",
            { State: LinkState.InTransit, BoundFor: { } bound } => bound.Alias == own ? "On the way to you" : $"On the way to {Name(bound)}",
            _ => "Not known",
        };
    }

    public static string Name(Who who) => who.Name ?? $"{Words.Of(who.Role.ToString())} {who.Alias}";

    public static IEnumerable<string> Of(Reading reading, DateTimeOffset now, Showing showing)
    {
        var (sheet, work) = (reading.Sheet(), reading.Work(now));
        foreach (var claim in sheet.OpenClaims) yield return $"An open claim since {showing.Day(claim.Since)}";
        foreach (var missing in sheet.Missing) yield return $"Reported missing {showing.Day(missing.Since)}";
        foreach (var hold in sheet.Holds) yield return $"A hold ({Words.Of(hold.Ground.ToString())}) on {string.Join(", ", hold.Scope.Select(s => Words.Of(s.ToString())))} since {showing.Day(hold.Since)}";
        foreach (var handover in work.NotReceived) yield return $"Handed over to {Name(handover.To)}, not received for {showing.Number(handover.Days)} days";
        foreach (var loan in work.OverdueLoans) yield return $"A loan to {Name(loan.Borrower)} was due back {showing.When(loan.Due)}";
        foreach (var sale in work.Sales) yield return sale.PaidInFull ? "Sold and paid for; title has not passed yet" : "Sold; payment in full is not recorded yet";
        foreach (var examination in work.Examinations) yield return $"Being examined at {Name(examination.House)} since {showing.Day(examination.Opened)}";
        if (sheet.Lot is not null) yield return "Offered in a sale";
        else if (sheet.Consigned) yield return "Consigned for sale";
        if (sheet.InDoubt) yield return "Whether this record is of this very bat is in doubt";
        if (work.Entries.Count > 0) yield return $"{showing.Number(work.Entries.Count)} entries rest on something that fell and wait to be settled by the house";
        if (sheet.HousesDisagree) yield return "Houses disagree about it";
    }
}
