using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Examining;
using Custody.Server.Private;
using Custody.Server.Readings;
using Custody.Server.Recording;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.Rendering;

namespace Custody.Server.Labels;

/// <summary>A label as it is asked for, as typed.</summary>
public sealed class LabelTyped
{
    public string? Form { get; set; } = nameof(Bats.LabelForm.Card);
    public string? Affixed { get; set; } = nameof(LabelPlace.TiedTag);
    public string? Host { get; set; }

    /// <summary>Opinions that the label speaks of, by entry.</summary>
    public List<string> Opinions { get; set; } = [];

    /// <summary>Entry of the label whose place it takes; empty for a further label.</summary>
    public string? Replaces { get; set; }

    public string? Ground { get; set; }
    public string? Reason { get; set; }
}

/// <summary>Labels of a bat: issued, printed, replaced, voided.</summary>
[MayUse(AccountRole.Registrar)]
public sealed class LabelModel(Recorder recorder, BenchDesk bench, LabelDesk desk, WithheldValues withheld) : BatActPage(recorder, bench)
{
    /// <summary>What stands on a label where the house's name cannot be lettered.</summary>
    const string NoHouse = "Custody";

    [BindProperty]
    public LabelTyped Label { get; set; } = new();

    /// <summary>Entry of a label to be voided.</summary>
    [BindProperty]
    public string? Void { get; set; }

    [BindProperty]
    public string? Ground { get; set; }

    [BindProperty]
    public string? Reason { get; set; }

    /// <summary>Every label, the newest first; whether it is in use.</summary>
    public IEnumerable<(long Entry, Bats.Label State, LabelIssued Fact, bool InUse)> All => Reading.State.Labels.ByEntry.Reverse()
        .Select(l => (l.Key, l.Value, (LabelIssued)Reading.Entries[(int)l.Key - 1].Fact, Reading.State.Labels.IsGood(l.Key, Reading.State.Corrections)));

    public IEnumerable<SelectListItem> InUse => All.Where(l => l.InUse).Select(l => new SelectListItem($"label {l.State.Serial} (entry {l.Entry})", Said(l.Entry)));

    /// <summary>Opinions that stand, which a label may speak of.</summary>
    public IEnumerable<OpinionRead> Opinions => Reading.Opinions().Opinions.Where(o => o.IsPresent);

    public static IEnumerable<string> Sheets => LabelSheet.Common.Select(s => s.Name);

    public override async Task<IActionResult> OnGetAsync()
    {
        Label.Host = Request.Host.Value;
        return await base.OnGetAsync();
    }

    public async Task<IActionResult> OnPostAsync()
    {
        if (!await Load()) return NotFound();
        var by = Acting();
        var (form, affixed) = (Word<Bats.LabelForm>(Label.Form), Word<LabelPlace>(Label.Affixed));
        Needed(form, "Label.Form", "Say what it is printed on.");
        Needed(affixed, "Label.Affixed", "Say where it is fixed.");
        var host = Text(Label.Host);
        if (host is null || !CanStandIn(host)) Refuse("Label.Host", "That is not a host name as a label's address has it.", "Give it without scheme and path, such as house.example.");
        long[] opinions = [.. Label.Opinions.Select(Entry).OfType<long>()];
        var replaces = Entry(Label.Replaces);
        var ground = Word<LabelEndGround>(Label.Ground);
        if (replaces is not null) Needed(ground, "Label.Ground", "Say why the earlier label no longer serves.");
        if (by is null || !ModelState.IsValid) return Page();
        Command command = replaces is { } old
            ? new ReplaceLabel(old, ground!.Value, form!.Value, affixed!.Value, host!, opinions, Text(Label.Reason)) { By = by }
            : new IssueLabel(form!.Value, affixed!.Value, host!, opinions) { By = by };
        if (await Record(Stream, command) is not { } recorded) return await Again();
        var serial = Reading.State.Labels.ByEntry.TryGetValue(recorded.Entries[0].N, out var known) ? known.Serial : Reading.State.Labels.NextSerial;
        return Done(replaces is null ? $"Label {serial} is issued. Print it below." : $"Label {serial} is issued in place of the earlier one. Print it below, and take the old one off.", $"/bats/{Number}/label");
    }

    public async Task<IActionResult> OnPostVoidAsync()
    {
        if (!await Load()) return NotFound();
        var (by, ground) = (Acting(), Word<LabelEndGround>(Ground));
        if (Entry(Void) is not { } label) return BadRequest();
        Needed(ground, nameof(Ground), "Say why the label no longer serves.");
        if (by is null || !ModelState.IsValid || await Record(Stream, new VoidLabel(label, ground!.Value, Text(Reason)) { By = by }) is null) return await Again();
        return Done("The label is void. Whoever scans it is told so.", $"/bats/{Number}/label");
    }

    /// <summary>The printed sheet of one label.</summary>
    /// <param name="n">Entry that issued it.</param>
    /// <param name="sheet">Label stock, by size.</param>
    /// <param name="at">First free place of a part-used sheet, from 1.</param>
    public async Task<IActionResult> OnGetSheetAsync(long n, string? sheet, int at = 1)
    {
        if (!await Load() || !Reading.State.Labels.ByEntry.ContainsKey(n)) return NotFound();
        var stock = LabelSheet.Common.FirstOrDefault(s => s.Name == sheet) ?? LabelSheet.A4With21;
        if (at < 1 || at > stock.PerPage) at = 1;
        var name = Own is { } own ? await withheld.NameOf(own, HttpContext.RequestAborted) : null;
        var face = await desk.FaceOf(Stream, n, Reading.State.Registration!, name is not null && Lettering.FirstUnknown(name) is null ? name : NoHouse, HttpContext.RequestAborted);
        return File(LabelPrint.Pdf([face], stock, at), "application/pdf", $"{Number}.label-{face.Serial}.pdf");
    }

    protected override string FieldOf(string code) => code switch
    {
        "label-ended" or "label-not-later" => "Label.Replaces",
        "not-in-force" or "opinion-withdrawn" => "Label.Opinions",
        _ => "",
    };

    // The face itself knows what its address may be.
    static bool CanStandIn(string host)
    {
        try
        {
            return new LabelFace($"https://{host.ToUpperInvariant()}/L/{new string('0', 26)}", "0", "0", "0").Host.Length > 0;
        }
        catch (ArgumentException)
        {
            return false;
        }
    }

    static string Said(long n) => n.ToString(System.Globalization.CultureInfo.InvariantCulture);
}
