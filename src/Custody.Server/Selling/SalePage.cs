using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Recording;
using Custody.Server.Web.Pages;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.Selling;

/// <summary>A page about one sale, or one of its lots.</summary>
public abstract class SalePage(Recorder recorder, SaleDesk desk) : ActPage(recorder)
{
    /// <summary>What prices are typed in when nothing else is known.</summary>
    public const string UsualCurrency = "USD";

    [FromRoute]
    public string? Id { get; set; }

    public SaleHead Head { get; private set; } = null!;

    /// <summary>The sale's lots in their order.</summary>
    public IReadOnlyList<LotLine> Lines { get; private set; } = [];

    /// <summary>Whether whoever is signed in builds and runs sales.</summary>
    public bool MayAct => Viewer.Is(Accounts.AccountRole.Cataloguer);

    /// <summary>The currency of this sale, as far as its terms tell.</summary>
    public string Currency => Head.Terms.Premium.Select(p => p.Above?.Currency.Code).FirstOrDefault(c => c is not null) ?? UsualCurrency;

    protected SaleDesk Desk => desk;

    /// <summary>Loads the sale and its lots; false when there is no such sale.</summary>
    protected async Task<bool> Load()
    {
        if (await desk.Head(Id ?? "", HttpContext.RequestAborted) is not { } head) return false;
        (Head, Lines) = (head, await desk.Lines(head.Stream, HttpContext.RequestAborted));
        return true;
    }

    /// <summary>The lot of this number; null when there is none.</summary>
    protected LotLine? LineOf(string? number) => Lines.FirstOrDefault(l => l.Number == number);

    /// <summary>A price as it is called out: thousands may be set apart.</summary>
    protected Money? Price(string? said, string? currency, string field) => Amount(Plain(said), currency ?? "", field);

    /// <summary>A number without what sets thousands apart; anything else as it was typed.</summary>
    internal static string? Plain(string? said)
    {
        var text = Text(said)?.Replace(" ", "", StringComparison.Ordinal).Replace("\u00a0", "", StringComparison.Ordinal).Replace("\u202f", "", StringComparison.Ordinal).Replace("'", "", StringComparison.Ordinal);
        if (text is null) return null;
        var groups = text.Split('.')[0].Split(',');
        return groups.Length > 1 && groups[0].Length is >= 1 and <= 3 && groups.Skip(1).All(g => g.Length == 3) ? text.Replace(",", "", StringComparison.Ordinal) : text;
    }
}
