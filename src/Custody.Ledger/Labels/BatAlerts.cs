using Custody.Bats;

namespace Custody.Ledger;

/// <summary>What counts against relying on a bat's record now: that it exists and since when, never its text.</summary>
public static class BatAlerts
{
    public static IReadOnlyList<string> Of(Reading reading)
    {
        var (bat, sheet) = (reading.State, reading.Sheet());
        List<string> alerts = [];
        if (bat.Registration is { Voided: true }) alerts.Add("The registration of this bat is void: it should not have been recorded.");
        if (bat.Identity.Ending is { } end) alerts.Add(Ended(reading, end));
        if (Elsewhere.Since(bat) is { } onward) alerts.Add($"The history goes on in another house's ledger since {Day(reading, onward)} ({bat.Continuations.ByEntry[onward].Other.Ledger}): ask there.");
        alerts.AddRange(sheet.Missing.Select(m => $"Reported missing ({Words.Of(m.Kind.ToString())}) since {LabelStanding.Day(m.Since)}. If you have the bat before you, tell the police and the house."));
        alerts.AddRange(sheet.OpenClaims.Select(c => $"An open claim ({Words.Of(c.Kind.ToString())}) since {LabelStanding.Day(c.Since)}."));
        alerts.AddRange(sheet.Holds.Select(h => $"A hold since {LabelStanding.Day(h.Since)} ({Words.Of(h.Ground.ToString())}): stops {string.Join(", ", h.Scope.Select(s => Words.Of(s.ToString())))}."));
        if (sheet.Title.Standing == TitleStanding.Disputed) alerts.Add("Title, as asserted, is disputed.");
        if (sheet.InDoubt) alerts.Add("Which bat this is, is in doubt: a check found another piece of wood, or two bats were mixed up.");
        foreach (var (n, _) in bat.Identity.Duplicates.Where(d => !d.Value.Withdrawn && !bat.Corrections.IsVoid(d.Key)))
            alerts.Add($"A younger record of this same bat was found on {Day(reading, n)}; this older one goes on. A label of the younger record is not of use any more.");
        if (sheet.HousesDisagree) alerts.Add("Houses disagree about this bat: their opinions stand side by side below.");
        if (sheet.OpinionsWithdrawn > 0) alerts.Add($"Opinions withdrawn, revised away or void: {sheet.OpinionsWithdrawn}.");
        if (sheet.OpenWork.Count > 0) alerts.Add($"Entries that wait to be confirmed or withdrawn because something under them fell: {sheet.OpenWork.Select(w => w.Entry).Distinct().Count()}.");
        return alerts;
    }

    static string Ended(Reading reading, Ending end) => end.Kind switch
    {
        EndingKind.SameBat => $"This record was declared the same bat as an older one on {Day(reading, end.Entry)}; the history goes on there ({end.GoesOn?.Stream}).",
        EndingKind.Divided => $"This bat was divided into pieces on {Day(reading, end.Entry)}; each piece has its own record.",
        EndingKind.Joined => $"This piece was joined into a whole on {Day(reading, end.Entry)}; the history goes on there ({end.GoesOn?.Stream}).",
        _ => $"This bat was recorded as destroyed on {Day(reading, end.Entry)}. If you have it before you, tell the house.",
    };

    static string Day(Reading reading, long n) => LabelStanding.Day(reading.Entries[(int)n - 1].Recorded);
}
