using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Recording;
using Custody.Server.Selling;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.SaleStream;

/// <summary>The terms of a sale are given anew, before its first lot comes up.</summary>
[MayUse(AccountRole.Cataloguer)]
public sealed class TermsModel(Recorder recorder, SaleDesk desk) : TermsPage(recorder, desk)
{
    public async Task<IActionResult> OnGetAsync()
    {
        if (!await Load()) return NotFound();
        (Terms, Seen) = (TermsForm.Of(Head.Terms, Currency), Head.N);
        return Page();
    }

    public async Task<IActionResult> OnPostAsync()
    {
        if (!await Load()) return NotFound();
        var by = Acting();
        if (Read() is not { } terms || by is null) return Page();
        return await Record(Head.Stream, new ChangeTerms(terms) { By = by }) is null ? Page() : Done("The terms are changed. Those before stay readable.", Head.Address);
    }
}
