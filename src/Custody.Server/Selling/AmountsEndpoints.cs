using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Accounts;
using Custody.Server.Readings;
using Custody.Server.Web;
using Microsoft.AspNetCore.Mvc;
using Wolverine.Http;

namespace Custody.Server.Selling;

/// <summary>A price to be charged. <c>commission</c> in per cent, left out for the buyer's account alone.</summary>
public sealed record PriceAsked(Money Hammer, bool Online, Quantity? Commission) : IAsked;

/// <summary>Arithmetic of sales. Nothing is recorded. Amounts are kept from examiners: whoever examines may not see prices.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Cataloguer, AccountRole.Auditor)]
public static class AmountsEndpoints
{
    /// <summary>The amounts of every sale of a bat, checked against each other and against the terms: what adds up, what does not, and what cannot be checked.</summary>
    [WolverineGet("/api/bats/{id}/amounts")]
    [ProducesResponseType<SaleAccount[]>(StatusCodes.Status200OK)]
    public static Task<IResult> Amounts(string id, string? recorded, ReadingDesk desk, AccountsDesk accounts, HttpContext http) =>
        ReadingEndpoints.Answer(desk, id, recorded, r => accounts.Of(r, http.RequestAborted), http);

    /// <summary>What a hammer price comes to under the terms in force: premium, fee, tax and total, and the consignor's share.</summary>
    [WolverinePost("/api/sales/{id}/charge")]
    [ProducesResponseType<PriceCharged>(StatusCodes.Status200OK), Refuses(400, 404, 422)]
    public static async Task<IResult> Charge(string id, PriceAsked asked, AccountsDesk accounts, HttpContext http)
    {
        if (!StreamName.TryParse("sale/" + id, out var sale)) return Problems.NotFound("sale/" + id);
        if (asked.Commission is { Unit.Code: not "%" })
            return Problems.Refused([new("commission-unit", "The commission is not in per cent.", "Give it with the unit %.")]);
        var (charged, refused) = await accounts.Charge(sale, asked.Hammer, asked.Online, asked.Commission?.Value, http.RequestAborted);
        http.Response.Headers.CacheControl = "no-store";
        return charged is not null ? Results.Json(charged, JsonText.Options)
            : refused!.Code == "sale-unknown" ? Problems.NotFound(sale.ToString()) : Problems.Refused([refused]);
    }

    /// <summary>The books of a sale: every sold lot once, and sums that balance to zero.</summary>
    [WolverineGet("/api/sales/{id}/books")]
    [ProducesResponseType<BooksRead>(StatusCodes.Status200OK), Refuses(404)]
    public static async Task<IResult> Books(string id, AccountsDesk accounts, HttpContext http)
    {
        if (!StreamName.TryParse("sale/" + id, out var sale) || await accounts.Books(sale, http.RequestAborted) is not { } books) return Problems.NotFound("sale/" + id);
        http.Response.Headers.CacheControl = "no-store";
        return Results.Json(books, JsonText.Options);
    }
}
