using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Examining;
using Custody.Server.Recording;
using Custody.Server.Web.Pages;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.Grading;

/// <summary>Withdraws an opinion. That it was given still shows.</summary>
[MayUse(AccountRole.Examiner)]
public sealed class WithdrawModel(Recorder recorder, BenchDesk bench) : ActPage(recorder)
{
    [FromRoute]
    public string Number { get; set; } = "";

    [FromRoute]
    public long N { get; set; }

    [BindProperty]
    public string? Ground { get; set; }

    [BindProperty]
    public string? Reason { get; set; }

    public OpinionRead Opinion { get; private set; } = null!;

    public RippleList Ripple { get; private set; } = null!;

    public async Task<IActionResult> OnGetAsync() => await Load() is { } reading ? Shown(reading) : NotFound();

    public async Task<IActionResult> OnPostAsync()
    {
        if (await Load() is not { } reading) return NotFound();
        var by = Acting();
        var ground = Word<OpinionWithdrawalGround>(Ground);
        Needed(ground, "Ground", "Say on what ground.");
        if (by is null || !ModelState.IsValid || await Record(StreamName.Parse(reading.State.Id), new WithdrawOpinion(N, ground!.Value, Text(Reason)) { By = by }) is null) return Page();
        return Done("The opinion is withdrawn. That it was given still shows.", $"/bats/{Number}/review");
    }

    PageResult Shown(Reading reading)
    {
        Seen = reading.State.N;
        return Page();
    }

    async Task<Reading?> Load()
    {
        if (await bench.Bat(Number, HttpContext.RequestAborted) is not { } reading || reading.Opinions().Opinions.FirstOrDefault(o => o.Entry == N) is not { Origin: OpinionOrigin.Given } opinion) return null;
        (Opinion, Ripple, Number) = (opinion, reading.Ripple(N), reading.State.Registration!.ShortNumber);
        return reading;
    }
}
