using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Readings;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.Examining;

/// <summary>An examination left open, for the list.</summary>
public sealed record LeftOpen(string Number, ExaminationLeftOpen Examination, bool Mine);

/// <summary>Opinions on one bat under which something fell. Which opinions they are and what they say is not told here: an examiner may be about to look at it.</summary>
public sealed record Fallen(string Number, int Opinions);

/// <summary>The examiner's bench: what was left open, what has to be looked at again, and where a new examination begins.</summary>
[MayUse(AccountRole.Examiner)]
public sealed class BenchModel(ReadingDesk desk, BenchDesk bench) : PageModel
{
    /// <summary>The number of the bat to examine, as typed.</summary>
    [FromQuery(Name = "number")]
    public string? Number { get; set; }

    public bool NotFoundSaid { get; private set; }

    public IReadOnlyList<LeftOpen> Open { get; private set; } = [];

    public IReadOnlyList<Fallen> Fallen { get; private set; } = [];

    public async Task<IActionResult> OnGetAsync()
    {
        var (viewer, ct) = (Viewer.Of(User)!, HttpContext.RequestAborted);
        if (!string.IsNullOrWhiteSpace(Number))
        {
            if (await bench.Bat(Number.Trim(), ct) is { } found) return LocalRedirect($"/bats/{found.State.Registration!.ShortNumber}/examinations/open");
            NotFoundSaid = true;
        }
        List<LeftOpen> open = [];
        List<Fallen> fallen = [];
        foreach (var reading in await desk.BatsWithWork(ct))
        {
            var number = reading.State.Registration!.ShortNumber;
            var work = reading.Work(desk.Now, await desk.WithdrawalsUnder(reading, ct));
            var own = viewer.Party is null ? null : await bench.AliasOf(reading, viewer.Party, ct);
            open.AddRange(work.Examinations.Select(e => new LeftOpen(number, e, own == e.Examiner.Alias)));
            var entries = work.Entries.Select(e => e.Entry).Concat(work.FilesFell.Select(f => f.Entry)).Where(reading.State.Opinions.ByEntry.ContainsKey).Distinct().Count();
            if (entries > 0) fallen.Add(new(number, entries));
        }
        Open = [.. open.OrderByDescending(o => o.Mine).ThenBy(o => o.Examination.Opened)];
        Fallen = fallen;
        return Page();
    }
}
