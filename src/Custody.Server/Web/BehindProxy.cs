using System.Net;
using Custody.Server.Configuring;
using Microsoft.AspNetCore.HttpOverrides;

namespace Custody.Server.Web;

/// <summary>Whoever comes through a proxy comes from where it says, and by https where it says so: cookies, links and limits go by that. A proxy is believed
/// on this machine, and where <c>CUSTODY_PROXIES</c> names its network.</summary>
static class BehindProxy
{
    /// <param name="said">Networks in CIDR form or single addresses, commas between them; null for this machine alone.</param>
    /// <exception cref="SettingFault">One of them is neither.</exception>
    public static ForwardedHeadersOptions Options(string? said)
    {
        // One step: what stands further left in the header, anybody could have written there.
        ForwardedHeadersOptions options = new() { ForwardedHeaders = ForwardedHeaders.XForwardedFor | ForwardedHeaders.XForwardedProto, ForwardLimit = 1 };
        foreach (var part in (said ?? "").Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries))
        {
            if (IPAddress.TryParse(part, out var address)) options.KnownProxies.Add(address);
            else if (System.Net.IPNetwork.TryParse(part, out var network)) options.KnownIPNetworks.Add(network);
            else throw new SettingFault($"{Settings.Proxies.Name}: {part} is neither an address nor a network (10.0.0.0/8).");
        }
        return options;
    }
}
