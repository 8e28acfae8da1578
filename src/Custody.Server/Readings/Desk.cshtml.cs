using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Accounts;
using Custody.Server.Web.Pages;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.Readings;

/// <summary>Everything that waits on any bat, by what it is.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Cataloguer, AccountRole.Examiner, AccountRole.Auditor)]
public sealed class DeskModel(ReadingDesk desk, Showing showing) : PageModel
{
    /// <summary>One thing that waits.</summary>
    public sealed record Line(NamedBat Bat, long Entry, string Says);

    /// <summary>Only headings under which something waits.</summary>
    public IReadOnlyList<(string Heading, IReadOnlyList<Line> Lines)> Waiting { get; private set; } = [];

    public async Task OnGet()
    {
        List<(string Heading, Line Line)> found = [];
        foreach (var reading in await desk.BatsWithWork(HttpContext.RequestAborted))
        {
            var bat = NamedBat.Of(reading);
            found.AddRange(Of(reading.Work(desk.Now, await desk.WithdrawalsUnder(reading, HttpContext.RequestAborted))).Select(w => (w.Heading, new Line(bat, w.Entry, w.Says))));
        }
        Waiting = [.. found.GroupBy(f => f.Heading).Select(g => (g.Key, (IReadOnlyList<Line>)[.. g.Select(f => f.Line)]))];
    }

    IEnumerable<(string Heading, long Entry, string Says)> Of(OpenWork work) =>
    [
        .. work.NotReceived.Select(w => ("Hand-overs not received", w.Entry, $"from {Name(w.From)} to {Name(w.To)}, {w.Days} days on the way")),
        .. work.OverdueLoans.Select(w => ("Loans overdue", w.Entry, $"with {Name(w.Borrower)}, due {showing.When(w.Due)}")),
        .. work.HoldsDue.Select(w => ("Holds to look at again", w.Entry, $"{Words.Of(w.Ground.ToString())}, due {showing.When(w.Review)}")),
        .. work.Examinations.Select(w => ("Examinations left open", w.Entry, $"{Name(w.Examiner)}, since {showing.Day(w.Opened)}, {(w.Locked ? "findings locked" : "findings not locked")}")),
        .. work.Sales.Select(w => ("Sales that wait", w.Entry, $"to {Name(w.Buyer)}, {(w.PaidInFull ? "paid, title not passed" : "not paid in full")}")),
        .. work.MixUps.Select(w => ("Mix-ups to settle", w.Entry, $"{w.Unsettled.Count} entries in doubt")),
        .. work.OpenClaims.Select(n => ("Open claims", n, "a claim stands open")),
        .. work.Missing.Select(n => ("Reported missing", n, "reported missing, not recovered")),
        .. work.NewDamage.Select(d => ("New damage nobody explained", d.Later, "seen at an examination or a receipt, not before it")),
        .. work.Entries.Select(w => ("To confirm, restate or withdraw", w.Entry, $"{Words.Split(w.Type)}: rests on entry {w.Cause} ({Words.Split(w.CauseType)})")),
        .. work.FilesFell.Select(f => ("Sources that fell", f.Opinion, "an opinion was weighed against a source that was withdrawn since")),
    ];

    static string Name(Who who) => who.Name ?? Words.Of(who.Role.ToString());
}
