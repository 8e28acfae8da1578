using Custody.Bats;
using Custody.Server.Private;
using Custody.Server.Recording;

namespace Custody.Server.Accounts;

/// <summary>Which bats an owner sees: those they hold title to as asserted, keep, consigned, or are handing over or being handed. The one place that decides it.</summary>
public sealed class OwnBats(BatFinder bats, AliasBook aliases)
{
    /// <summary>Whether this account may see this bat. A bat that is not there may be asked for by anybody: the answer says no more.</summary>
    public async Task<bool> MaySee(Viewer viewer, string said, CancellationToken ct)
    {
        if (viewer.SeesEveryBat) return true;
        if (await bats.Find(said, ct) is not { } bat) return true;
        if (viewer.Party is not { } party) return false;
        return await aliases.Of(StreamName.Parse(bat.Id), party, ct) is { } alias && Concerns(bat, alias);
    }

    internal static bool Concerns(Bat bat, Alias party) =>
        bat.Title.Shares.ContainsKey(party)
        || bat.Keeping.Custodian == party
        || bat.Keeping.InTransit is { } n && bat.Keeping.Handovers[n] is var handover && (handover.From == party || handover.To == party)
        || bat.Consignments.Open is { } consignment && (consignment.Consignor == party || consignment.Holders.Contains(party));
}

/// <summary>Answers an owner who asks for somebody else's bat or party as if it were not there.</summary>
public sealed class OwnBatsOnly(RequestDelegate next)
{
    static readonly string[] OfOneBat = ["/api/bats/{id}", "/bats/{number}", "/mine/{number}"];

    public async Task InvokeAsync(HttpContext http, OwnBats own)
    {
        if (Viewer.Of(http.User) is { SeesEveryBat: false } viewer && http.GetEndpoint() is RouteEndpoint { Metadata: var metadata } endpoint
            && metadata.GetMetadata<Microsoft.AspNetCore.Authorization.IAllowAnonymous>() is null)
        {
            var pattern = "/" + endpoint.RoutePattern.RawText?.TrimStart('/');
            if (OfOneBat.Any(p => pattern.StartsWith(p, StringComparison.Ordinal))
                && Convert.ToString(http.Request.RouteValues["id"] ?? http.Request.RouteValues["number"], System.Globalization.CultureInfo.InvariantCulture) is { Length: > 0 } said
                && !await own.MaySee(viewer, said, http.RequestAborted))
            {
                if (pattern.StartsWith("/api", StringComparison.Ordinal)) await Web.Problems.NoBat(said).ExecuteAsync(http);
                else http.Response.StatusCode = StatusCodes.Status404NotFound;
                return;
            }
        }
        await next(http);
    }
}
