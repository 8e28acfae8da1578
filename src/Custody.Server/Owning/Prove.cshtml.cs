using Custody.Bats;
using Custody.Evidence.Text;
using Custody.Ledger;
using Custody.Server.Accounts;
using Custody.Server.Dossiers;
using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Server.Sharing;
using Microsoft.AspNetCore.Html;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.Owning;

/// <summary>Proving a bat's history: the owner chooses field by field, sees exactly what the reader will see, makes the dossier or shares it by a link.</summary>
[MayUse(AccountRole.Owner)]
public sealed class ProveModel(OwnersDesk owners, DossierDesk dossiers, SharingDesk sharing, LedgerPlace place) : PageModel
{
    const int LongestName = 200;

    /// <summary>What the form says.</summary>
    public sealed class Asked
    {
        /// <summary>Paths of the values to show.</summary>
        public List<string> Show { get; set; } = [];

        /// <summary>Whom it is for; recorded withheld.</summary>
        public string? For { get; set; }

        /// <summary>How many days a link stands.</summary>
        public string? Days { get; set; } = "14";
    }

    [BindProperty]
    public Asked Input { get; set; } = new();

    public OwnBat Own { get; private set; } = null!;

    public DossierDesk.Previewed? Previewed { get; private set; }

    /// <summary>The address that was just made; shown this once.</summary>
    public string? Address { get; private set; }

    public DateTimeOffset? Expires { get; private set; }

    public IHtmlContent? Seen => Previewed is { } done ? ReadersView.Of(done.Seen.Page.Span) : null;

    string Number => Own.Bat.Registration!.ShortNumber;

    // Paths only, one value each: neither "all" nor a name that would also fit entries still to come.
    Reveal Chosen => new(false, Input.Show.Where(s => s.Contains('/', StringComparison.Ordinal)).ToHashSet(StringComparer.Ordinal));

    public Task<IActionResult> OnGet(string number) => For(number, Showing);

    /// <summary>The preview of what is ticked: the part of the page where htmx asks, the whole page otherwise.</summary>
    public Task<IActionResult> OnPostPreview(string number) => For(number, async () =>
        await Showing() is PageResult page ? Request.Headers.ContainsKey("HX-Request") ? Partial("/Owning/_Seen.cshtml", this) : page : NotFound());

    /// <summary>The page of the dossier alone, as the reader's browser will show it.</summary>
    public Task<IActionResult> OnPostAlone(string number) => For(number, async () =>
    {
        await Look();
        if (Previewed is not { } done) return Page();
        Response.Headers.ContentSecurityPolicy = ReadersView.Alone;
        return File(done.Seen.Page.ToArray(), "text/html; charset=utf-8");
    });

    /// <summary>Ticks everything.</summary>
    public Task<IActionResult> OnPostEverything(string number) => For(number, async () =>
    {
        Input.Show = [.. (await dossiers.Fields(Own.Bat, HttpContext.RequestAborted)).Select(f => f.Place.Path)];
        return await Showing();
    });

    /// <summary>Ticks nothing.</summary>
    public Task<IActionResult> OnPostNothing(string number) => For(number, () =>
    {
        Input.Show = [];
        return Showing();
    });

    /// <summary>The dossier as a file; that it was handed out is recorded, on a stream of its own.</summary>
    public Task<IActionResult> OnPostMake(string number) => For(number, async () =>
    {
        if (!Fit(out var issuedFor)) return await Showing();
        // What is shown stands in this file in plain: it is the owner's alone and goes as soon as it is sent.
        var folder = HandingOut.NewFolder(place);
        Response.OnCompleted(() => HandingOut.Forget(folder));
        var (done, refused) = await dossiers.Write(Own.Bat, Chosen, EarlierHistories.None, folder, issuedFor, Viewer.Of(User)!.Party!, HttpContext.RequestAborted);
        if (done is null) return await Refused(refused!);
        return PhysicalFile(done.Path, "application/zip", Path.GetFileName(done.Path));
    });

    /// <summary>A link to the dossier.</summary>
    public Task<IActionResult> OnPostShare(string number) => For(number, async () =>
    {
        if (!Fit(out var issuedFor)) return await Showing();
        if (!int.TryParse(Input.Days, System.Globalization.NumberStyles.None, System.Globalization.CultureInfo.InvariantCulture, out var days)) days = 0;
        var (made, refused) = await sharing.Share(Own.Bat, Chosen, issuedFor, Viewer.Of(User)!.Party!, days, HttpContext.RequestAborted);
        if (made is null) return await Refused(refused!);
        (Address, Expires) = ($"{Request.Scheme}://{Request.Host}/shared/{made.Token}", made.Link.Expires);
        return await Showing();
    });

    bool Fit(out string? issuedFor)
    {
        issuedFor = null;
        if (string.IsNullOrWhiteSpace(Input.For)) return true;
        if (TextAtTheDoor.Check(Input.For.Trim(), LongestName, out var fit, out var refused))
        {
            issuedFor = fit;
            return true;
        }
        ModelState.AddModelError("Input.For", $"{refused.Sentence} {refused.Remedy}");
        return false;
    }

    Task<IActionResult> Refused(Refusal refused)
    {
        ModelState.AddModelError(refused.Code == "share-days" ? "Input.Days" : "", $"{refused.Sentence} {refused.Remedy}");
        return Showing();
    }

    async Task<IActionResult> Showing()
    {
        await Look();
        return Page();
    }

    async Task Look()
    {
        var (done, refused) = await dossiers.Preview(Own.Bat, Chosen, EarlierHistories.None, HttpContext.RequestAborted);
        if (refused is { } wrong)
        {
            // A field that was erased since the form was shown, or a form that nobody wrote here: begin again with nothing shown.
            ModelState.AddModelError("", $"{wrong.Sentence} Choose again: nothing is ticked now.");
            Input.Show = [];
            (done, _) = await dossiers.Preview(Own.Bat, Reveal.Nothing, EarlierHistories.None, HttpContext.RequestAborted);
        }
        Previewed = done;
    }

    async Task<IActionResult> For(string number, Func<Task<IActionResult>> answer)
    {
        Response.Headers.CacheControl = "no-store";
        if (await owners.Held(Viewer.Of(User)!, number, HttpContext.RequestAborted) is not { } own) return NotFound();
        Own = own;
        ViewData["Title"] = $"Prove {Number}";
        try
        {
            return await answer();
        }
        catch (LogFault fault)
        {
            ModelState.AddModelError("", $"{fault.Message} Try again shortly.");
            return Page();
        }
    }
}
