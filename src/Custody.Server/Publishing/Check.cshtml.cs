using System.Text;
using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Accounts;
using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Transparency;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.Publishing;

/// <summary>How to check a dossier, for whoever was handed one: no account and no script. What is checked stays with the reader; only a dossier's signed head can be
/// compared with the ledger here.</summary>
// The form carries nobody's authority and changes nothing, so it needs no proof of where it stood.
[Anybody, IgnoreAntiforgeryToken, RequestSizeLimit(LargestForm)]
public sealed class CheckModel(LogDesk log, LedgerName ledger, Histories histories) : PageModel
{
    const int LargestForm = 64 * 1024;

    public string Origin => ledger.Origin;

    public string Key => log.Key.ToString()!;

    /// <summary>Where the ledger's own stream vouches for this very checker page; null when it does not.</summary>
    public (long Entry, DateTimeOffset Recorded)? Vouched { get; private set; }

    /// <summary>The checker's SHA-256 as programs for checking files write it.</summary>
    public string Hex => Convert.ToHexStringLower(Hash.Of(CheckerPage.Bytes.Span).ToArray());

    /// <summary>How the head stands to the ledger now; null while none was given.</summary>
    public string? Compared { get; private set; }

    public Task OnGet() => Load();

    public async Task OnPost(string? head, IFormFile? file)
    {
        if (string.IsNullOrWhiteSpace(head) && file is { Length: > 0 and < LargestForm })
        {
            using StreamReader reader = new(file.OpenReadStream(), Encoding.UTF8);
            head = await reader.ReadToEndAsync(HttpContext.RequestAborted);
        }
        Compared = await HeadCompared.Say(head, ledger.Origin, null, log, HttpContext.RequestAborted);
        await Load();
    }

    async Task Load()
    {
        var own = (await histories.All("ledger", HttpContext.RequestAborted))[0];
        if ((await histories.Open(own, HttpContext.RequestAborted)).LastOrDefault(e => e.Fact is CheckerPublished published && published.PageHash == CheckerPage.Sha256) is { } told)
            Vouched = (told.N, told.Envelope.Recorded);
    }
}
