using System.Globalization;
using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Examining;
using Custody.Server.Web.Pages;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;
using Microsoft.AspNetCore.Mvc.Rendering;

namespace Custody.Server.Catalogue;

/// <summary>Claims of a catalogue text held against the record of one bat, one by one. Nothing is kept of it.</summary>
[MayUse(AccountRole.Cataloguer, AccountRole.Registrar, AccountRole.Auditor)]
public sealed class CheckModel(BenchDesk bench) : PageModel
{
    /// <summary>Claims that one page takes.</summary>
    const int Most = 40;

    [FromRoute]
    public string Number { get; set; } = "";

    [BindProperty]
    public List<ClaimForm> Claims { get; set; } = [];

    /// <summary>The kind of claim to be added.</summary>
    [BindProperty]
    public string? Kind { get; set; }

    public Reading Reading { get; private set; } = null!;

    /// <summary>What the record says; null while nothing was checked.</summary>
    public CatalogueCheck? Checked { get; private set; }

    /// <summary>The lot whose text is read beside the claims: the last one.</summary>
    public LotRead? Lot => Reading.Lots().Lots is [.., var last] ? last : null;

    public IEnumerable<SelectListItem> Sources => Reading.State.Sources.ByEntry.Where(s => s.Value.Picture is not null && !Reading.State.Corrections.IsVoid(s.Key))
        .Select(s => new SelectListItem($"entry {s.Key}: {((SourceCited)Reading.Entries[(int)s.Key - 1].Fact).Title?.Value}", s.Key.ToString(CultureInfo.InvariantCulture)));

    /// <summary>A kind of claim, in the words of a text.</summary>
    public static string Says(ClaimOf kind) => kind switch
    {
        ClaimOf.Maker => "who made it",
        ClaimOf.Seasons => "in which seasons it was used",
        ClaimOf.Player => "what is supported of a player",
        ClaimOf.Preparation => "a mark or preparation, or that there is none",
        ClaimOf.PictureComparison => "that a picture shows this very bat",
        ClaimOf.Title => "who held title at a time",
        ClaimOf.Custody => "who kept it at a time",
        ClaimOf.Opinion => "that a house gave an opinion",
        _ => "that it was never treated",
    };

    public static IEnumerable<SelectListItem> Kinds => Enum.GetValues<ClaimOf>().Select(k => new SelectListItem(Says(k), k.ToString()));

    public async Task<IActionResult> OnGetAsync() => await Load() ? Page() : NotFound();

    /// <summary>One more claim of the kind chosen.</summary>
    public async Task<IActionResult> OnPostAddAsync()
    {
        if (!await Load()) return NotFound();
        if (Typed.Word<ClaimOf>(Kind) is null) ModelState.AddModelError("Kind", "Choose what the text claims.");
        else if (Claims.Count >= Most) ModelState.AddModelError("Kind", $"That is enough for one page: {Most} claims. Check these first.");
        else Claims.Add(new() { Claim = Kind });
        return Page();
    }

    public async Task<IActionResult> OnPostRemoveAsync(int at)
    {
        if (!await Load()) return NotFound();
        if (at >= 0 && at < Claims.Count) Claims.RemoveAt(at);
        // Those behind it move up: what was typed is in the list, and no longer under its old place.
        ModelState.Clear();
        return Page();
    }

    public async Task<IActionResult> OnPostAsync()
    {
        if (!await Load()) return NotFound();
        List<CatalogueClaim> claims = [];
        for (var i = 0; i < Math.Min(Claims.Count, Most); i++)
            if (Claims[i].Read($"Claims[{i}]", Refuse) is { } claim) claims.Add(claim);
        if (!ModelState.IsValid) return Page();
        var (check, refused) = CatalogueCheck.Of(Reading, claims);
        if (refused is not null) Refuse(claims.Count == 0 ? "Kind" : "", refused.Sentence, refused.Remedy);
        Checked = check;
        return Page();
    }

    void Refuse(string field, string sentence, string remedy) => ModelState.AddModelError(field, $"{sentence} {remedy}");

    async Task<bool> Load()
    {
        if (await bench.Bat(Number, HttpContext.RequestAborted) is not { } reading) return false;
        (Reading, Number) = (reading, reading.State.Registration!.ShortNumber);
        Claims.RemoveAll(c => c.Kind is null);
        return true;
    }
}
