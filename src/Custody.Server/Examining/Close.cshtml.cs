using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Recording;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.Examining;

/// <summary>Closes an examination; anybody at the bench may give up one that was left.</summary>
[MayUse(AccountRole.Examiner)]
public sealed class CloseModel(Recorder recorder, BenchDesk desk, FindingsDrafts drafts) : BenchPage(recorder, desk)
{
    [BindProperty]
    public string? Outcome { get; set; }

    [BindProperty]
    public string? Remarks { get; set; }

    public IEnumerable<ExaminationOutcome> Outcomes => Case is { Mine: true, View.Locked: true } ? Enum.GetValues<ExaminationOutcome>() : [ExaminationOutcome.GivenUp];

    public async Task<IActionResult> OnGetAsync() => await Load() && Case.View.Open ? Page() : NotFound();

    public async Task<IActionResult> OnPostAsync()
    {
        if (!await Load() || !Case.View.Open) return NotFound();
        var by = Acting();
        var outcome = Word<ExaminationOutcome>(Outcome);
        Needed(outcome, "Outcome", "Say how it ended.");
        if (by is null || !ModelState.IsValid || await Record(Case.Stream, new CloseExamination(N, outcome!.Value, Text(Remarks)) { By = by }) is null) return Page();
        await drafts.Drop(Case.Stream, N, HttpContext.RequestAborted);
        return Done("The examination is closed.", Case.Address);
    }

    protected override string FieldOf(string code) => "Outcome";
}
