using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Recording;
using Custody.Server.Selling;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.SaleStream;

/// <summary>A sale is announced, with the terms it will be held under.</summary>
[MayUse(AccountRole.Cataloguer)]
public sealed class AnnounceModel(Recorder recorder, SaleDesk desk, Drawing drawing) : TermsPage(recorder, desk)
{
    public void OnGet()
    {
    }

    public async Task<IActionResult> OnPostAsync()
    {
        var by = Acting();
        if (Read() is not { } terms || by is null) return Page();
        // Drawn from the submission: sent twice, it is one sale.
        var stream = drawing.Stream("sale", Submission);
        return await Record(stream, new AnnounceSale(terms) { By = by }) is null ? Page() : Done("The sale is announced. Put lots into it.", "/sales/" + stream.Id);
    }
}
