using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Threading.RateLimiting;
using Custody.Server.Configuring;
using Microsoft.AspNetCore.Authorization;
using Microsoft.AspNetCore.Diagnostics;

namespace Custody.Server.Web;

/// <summary>Most requests a minute from one address, 0 for no limit.</summary>
/// <param name="Open">To what needs no account.</param>
/// <param name="Tiles">To the log's files: checkers read them by the thousand, and they cost no more than a file.</param>
/// <param name="Accounts">To everything else.</param>
public sealed record RequestLimits(int Open, int Tiles, int Accounts)
{
    /// <exception cref="SettingFault">One of them is no number.</exception>
    public static RequestLimits From(Func<string, string?> environment) =>
        new(Settings.OpenLimit.Number(environment, 0), Settings.TilesLimit.Number(environment, 0), Settings.AccountsLimit.Number(environment, 0));
}

/// <summary>Holds back whoever asks too much, before anything is looked up for them. By address, because who it is is not known yet.</summary>
static class Limits
{
    static readonly TimeSpan Minute = TimeSpan.FromMinutes(1);

    public static void AddLimits(this IServiceCollection services)
    {
        services.AddSingleton(_ => RequestLimits.From(Environment.GetEnvironmentVariable));
        services.AddRateLimiter(options =>
        {
            options.RejectionStatusCode = StatusCodes.Status429TooManyRequests;
            options.GlobalLimiter = PartitionedRateLimiter.Create<HttpContext, string>(Of);
            options.OnRejected = (rejected, _) => Say(rejected.HttpContext, rejected.Lease);
        });
    }

    static RateLimitPartition<string> Of(HttpContext http)
    {
        // Whoever is on this machine needs no such limit; and a proxy here that does not say for whom it asks would put everybody under one.
        if (http.Connection.RemoteIpAddress is not { } address || IPAddress.IsLoopback(address.IsIPv4MappedToIPv6 ? address.MapToIPv4() : address)) return RateLimitPartition.GetNoLimiter("here");
        // The page that says so is no request of its own.
        if (http.Features.Get<IStatusCodeReExecuteFeature>() is not null) return RateLimitPartition.GetNoLimiter("again");
        var limits = http.RequestServices.GetRequiredService<RequestLimits>();
        var (kind, most) = http.Request.Path.StartsWithSegments("/tile", StringComparison.Ordinal) || http.Request.Path == "/checkpoint" ? ("tiles", limits.Tiles)
            : http.GetEndpoint()?.Metadata.GetMetadata<IAllowAnonymous>() is not null ? ("open", limits.Open) : ("accounts", limits.Accounts);
        return most == 0 ? RateLimitPartition.GetNoLimiter(kind)
            : RateLimitPartition.GetFixedWindowLimiter($"{kind} {NameOf(address)}", _ => new() { PermitLimit = most, Window = Minute });
    }

    static async ValueTask Say(HttpContext http, RateLimitLease lease)
    {
        var wait = lease.TryGetMetadata(MetadataName.RetryAfter, out var after) ? after : Minute;
        http.Response.Headers.RetryAfter = Math.Ceiling(wait.TotalSeconds).ToString(CultureInfo.InvariantCulture);
        if (http.Request.Path.StartsWithSegments("/api", StringComparison.Ordinal) || http.Request.Path.StartsWithSegments("/log", StringComparison.Ordinal))
            await Problems.TooMany().ExecuteAsync(http);
    }

    /// <summary>By what an address is told from others. Whoever has one IPv6 address has the 2^64 beside it too (RFC 6177 section 2).</summary>
    public static string NameOf(IPAddress? address) => address switch
    {
        null => "",
        { AddressFamily: AddressFamily.InterNetworkV6, IsIPv4MappedToIPv6: false } => Convert.ToHexString(address.GetAddressBytes()[..8]),
        _ => address.MapToIPv4().ToString(),
    };
}
