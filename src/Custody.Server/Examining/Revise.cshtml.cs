using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Recording;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.Examining;

/// <summary>A revision as typed, besides the finding itself.</summary>
public sealed class RevisionForm
{
    public bool TakenBack { get; set; }
    public string? Cause { get; set; }
    public string? Reason { get; set; }
    public string? SecondExaminer { get; set; }
}

/// <summary>Revises a locked finding or adds one, with the reason. The one before stays beside it.</summary>
[MayUse(AccountRole.Examiner)]
public sealed class ReviseModel(Recorder recorder, BenchDesk desk) : FindingPage(recorder, desk)
{
    [FromQuery(Name = "finding")]
    public int? Which { get; set; }

    [BindProperty]
    public RevisionForm Revision { get; set; } = new();

    /// <summary>The finding to revise as it reads now; null when one is added.</summary>
    public FindingVersion? Before { get; private set; }

    public int NewNumber { get; private set; }

    public Custody.Server.Web.Pages.UnrolledMap Map => FindingLines.Map(Case.Reading, Before is null ? [] : [($"f{NewNumber}", Before.Kind, Before.Presence, Before.Place)]);

    public async Task<IActionResult> OnGetAsync()
    {
        if (!await Read()) return NotFound();
        if (Before is not null) Finding = FindingForm.Of(Before);
        return Page();
    }

    public async Task<IActionResult> OnPostAsync()
    {
        if (!await Read()) return NotFound();
        var (by, finding) = (Acting(), Stated());
        var cause = Word<RevisionCause>(Revision.Cause);
        Needed(cause, "Revision.Cause", "Say what made you look again.");
        Needed(Text(Revision.Reason), "Revision.Reason", "Say why, in your words.");
        var second = BatParties.Read(Revision.SecondExaminer);
        if (second is null && Text(Revision.SecondExaminer) is not null) Refuse("Revision.SecondExaminer", "This is nobody of this bat's history.", "Choose somebody.");
        if (by is null || finding is null || !ModelState.IsValid) return Page();
        var change = Before is null ? RevisionKind.Added : Revision.TakenBack ? RevisionKind.TakenBack : RevisionKind.Replaced;
        var recorded = await Record(Case.Stream, new ReviseFindings(
            N, cause!.Value, [new RevisionStated(NewNumber, change, finding)], null, second, Text(Revision.Reason)!)
        { By = by });
        return recorded is null ? Page() : Done($"f{NewNumber} is revised; how it read before stays beside it.", Case.Address);
    }

    protected override string FieldOf(string code) => code is "second-examiner-needed" ? "Revision.SecondExaminer" : "";

    async Task<bool> Read()
    {
        if (!await LoadMine() || !Case.View.Locked) return false;
        var examination = Case.Examination;
        var order = Case.Reading.Examined().First(e => e.Entry == N);
        if (Which is not { } which)
        {
            NewNumber = examination.Findings.Keys.Concat(examination.TakenBack).DefaultIfEmpty(0).Max() + 1;
            return true;
        }
        NewNumber = which;
        return (Before = order.Findings.FirstOrDefault(f => f.Number == which)?.Now) is not null;
    }
}
