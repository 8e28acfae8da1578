using Custody.Server.Accounts;
using Custody.Server.Selling;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.SaleStream;

/// <summary>Every sale of the house, the newest first, with how far each has come.</summary>
[MayUse(AccountRole.Cataloguer, AccountRole.Registrar, AccountRole.Auditor)]
public sealed class SalesModel(SaleDesk desk) : PageModel
{
    /// <summary>A sale with its lots.</summary>
    public sealed record Row(SaleHead Head, int Lots, int Open);

    public IReadOnlyList<Row> Rows { get; private set; } = [];

    public bool MayAct => Viewer.Of(User)!.Is(AccountRole.Cataloguer);

    public async Task OnGet()
    {
        List<Row> rows = [];
        foreach (var head in await desk.Heads(HttpContext.RequestAborted))
        {
            var lines = await desk.Lines(head.Stream, HttpContext.RequestAborted);
            rows.Add(new(head, lines.Count, lines.Count(l => l.IsOpen)));
        }
        Rows = rows;
    }
}
