using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Recording;
using Custody.Server.Web.Pages;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.Examining;

/// <summary>One examination: the views in their fixed order and the findings, then what is unmasked stage by stage. Shows nothing that is held back.</summary>
[MayUse(AccountRole.Examiner)]
public sealed class LookModel(Recorder recorder, BenchDesk desk, FindingsDrafts drafts) : FindingPage(recorder, desk)
{
    [BindProperty]
    public LayerForm Layer { get; set; } = new();

    /// <summary>Which finding of the draft to take out, from 1.</summary>
    [BindProperty]
    public int Drop { get; set; }

    /// <summary>A view to look at again.</summary>
    [FromQuery(Name = "view")]
    public string? View { get; set; }

    public FindingsDraft Draft { get; private set; } = FindingsDraft.Empty;

    public ExaminationOrder Order { get; private set; } = null!;

    /// <summary>The view looked at now; null once all were gone through.</summary>
    public BatView? Looking => Word<BatView>(View) is { } asked && Draft.Views.Any(v => v.View == asked) ? asked : Draft.Turn;

    public UnrolledMap Map => FindingLines.Map(Case.Reading, Case.View.Locked
        ? Order.Findings.Where(f => f.Now is not null).Select(f => ($"f{f.Number}", f.Now!.Kind, f.Now.Presence, f.Now.Place))
        : Draft.Findings.Select((f, i) => ($"f{i + 1}", f.Kind, f.Presence, f.Place)));

    public async Task<IActionResult> OnGetAsync() => await Read() ? Page() : NotFound();

    /// <summary>The view was seen, or could not be.</summary>
    public async Task<IActionResult> OnPostViewAsync(string? view, string? answer)
    {
        if (!await ReadMine()) return NotFound();
        if (Word<BatView>(view) is not { } of || Word<ViewAnswer>(answer) is not { } said) return BadRequest();
        await Keep(Draft.Answer(of, said));
        return LocalRedirect(Case.Address);
    }

    public async Task<IActionResult> OnPostFindingAsync()
    {
        if (!await ReadMine()) return NotFound();
        if (Stated() is not { } finding) return Page();
        await Keep(Draft with { Findings = [.. Draft.Findings, finding] });
        return Done($"Written down as f{Draft.Findings.Count}; not locked yet.", $"{Case.Address}{(View is null ? "" : "?view=" + Uri.EscapeDataString(View))}#findings");
    }

    public async Task<IActionResult> OnPostDropAsync()
    {
        if (!await ReadMine()) return NotFound();
        await Keep(Draft.Without(Drop));
        return LocalRedirect(Case.Address + "#findings");
    }

    public async Task<IActionResult> OnPostLayerAsync()
    {
        if (!await ReadMine()) return NotFound();
        if (Layer.Read(Draft.Findings.Count) is not { } layer)
        {
            Refuse("Layer.Over", "A layer names two findings of the list by number, how it was seen and how sure you are.", "Give 2 and 1 for f2 over f1.");
            return Page();
        }
        await Keep(Draft with { Layers = [.. Draft.Layers.Where(l => (l.Over, l.Under) != (layer.Over, layer.Under)), layer] });
        return LocalRedirect(Case.Address + "#findings");
    }

    /// <summary>Locks what was written down.</summary>
    public async Task<IActionResult> OnPostLockAsync(string? remarks)
    {
        if (!await ReadMine()) return NotFound();
        if (Acting() is not { } by) return Page();
        var recorded = await Record(Case.Stream, new LockFindings(N, Draft.Findings, Draft.Layers, Draft.Views, Text(remarks)) { By = by });
        if (recorded is null) return Page();
        await drafts.Drop(Case.Stream, N, HttpContext.RequestAborted);
        return Done("The findings are locked. What comes now is a revision, and shows as one.", Case.Address);
    }

    async Task Keep(FindingsDraft draft)
    {
        Draft = draft;
        await drafts.Keep(Case.Stream, N, draft, HttpContext.RequestAborted);
    }

    async Task<bool> ReadMine() => await Read() && Case is { Mine: true, View: { Open: true, Locked: false } };

    async Task<bool> Read()
    {
        if (!await Load()) return false;
        Order = Case.Reading.Examined().First(e => e.Entry == N);
        if (Case is { Mine: true, View.Locked: false }) Draft = await drafts.Of(Case.Stream, N, HttpContext.RequestAborted);
        return true;
    }
}

/// <summary>A layer as typed.</summary>
public sealed class LayerForm
{
    public string? Over { get; set; }
    public string? Under { get; set; }
    public string? SeenBy { get; set; }
    public string? Confidence { get; set; }

    /// <summary>Null when it names no two of <paramref name="findings"/> findings, or lacks a word.</summary>
    public LayerSeen? Read(int findings) =>
        Number(Over) is { } over && Number(Under) is { } under && over != under && over <= findings && under <= findings
        && Typed.Word<SeenBy>(SeenBy) is { } by && Typed.Word<Confidence>(Confidence) is { } sure
            ? new LayerSeen(over, under, by, sure, null) : null;

    static int? Number(string? said) => int.TryParse(said?.Trim().TrimStart('f', 'F'), System.Globalization.NumberStyles.None, System.Globalization.CultureInfo.InvariantCulture, out var n) && n > 0 ? n : null;
}
