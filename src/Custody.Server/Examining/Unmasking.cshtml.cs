using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Recording;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.Examining;

/// <summary>Opens one stage: recorded first, shown afterwards.</summary>
[MayUse(AccountRole.Examiner)]
public sealed class UnmaskingModel(Recorder recorder, BenchDesk desk, Histories histories) : BenchPage(recorder, desk)
{
    [FromQuery(Name = "stage")]
    public string? StageSaid { get; set; }

    [BindProperty]
    public string? HabitFile { get; set; }

    [BindProperty]
    public string? What { get; set; }

    [BindProperty]
    public string? Effect { get; set; }

    public Stage Stage { get; private set; }

    /// <summary>In its turn; otherwise it can only be said to have been seen by accident.</summary>
    public bool InTurn => Case.View.Blinding == Blinding.NotBlind || Case.View.Next.Contains(Stage);

    /// <summary>Entries held back that this stage shows.</summary>
    public IReadOnlyList<long> Entries => [.. Case.View.HeldBack.Where(h => h.Stage == Stage).Select(h => h.Entry)];

    public async Task<IActionResult> OnGetAsync() => await Read() ? Page() : NotFound();

    public async Task<IActionResult> OnPostAsync()
    {
        if (!await Read()) return NotFound();
        var by = Acting();
        var version = Stage == Stage.HabitFile && Text(HabitFile) is { } name ? await Version(name) : null;
        if (by is null || !ModelState.IsValid) return Page();
        var recorded = await Record(Case.Stream, new Unmask(
            N, Stage, InTurn ? SeenHow.Opened : SeenHow.ByAccident, Entries, version is null ? null : [version], Text(What), Text(Effect))
        { By = by });
        return recorded is null ? Page() : Done("Opened, and recorded as opened.", Case.Address + "#record");
    }

    async Task<Reference?> Version(string name)
    {
        if ((StreamName.TryParse(name, out var stream) || StreamName.TryParse("habits/" + name, out stream)) && stream.Kind == "habits"
            && (await histories.Open(stream, HttpContext.RequestAborted)).LastOrDefault(e => e.Fact is CountsVersioned) is { } version)
            return new(null, stream, version.N, version.Hash);
        Refuse("HabitFile", "There is no habit file of this name with a version of its counts.", "Look its name up again, or leave it empty.");
        return null;
    }

    async Task<bool> Read()
    {
        if (!await LoadMine() || !Case.View.Open || Word<Stage>(StageSaid) is not { } stage) return false;
        Stage = stage;
        return true;
    }
}
