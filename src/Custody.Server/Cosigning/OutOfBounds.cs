using System.Net;

namespace Custody.Server.Cosigning;

/// <summary>Addresses at which no cosigner and no authority can stand, but at which clouds give a machine its own secrets to whoever asks from inside it. A policy
/// file or a name that leads there is a mistake or an attack.</summary>
static class OutOfBounds
{
    static readonly System.Net.IPNetwork[] Networks =
    [
        System.Net.IPNetwork.Parse("0.0.0.0/8"), // "this network": RFC 1122 section 3.2.1.3
        System.Net.IPNetwork.Parse("169.254.0.0/16"), // link-local: RFC 3927
        System.Net.IPNetwork.Parse("224.0.0.0/3"), // multicast, reserved, broadcast: RFC 5771, RFC 1112 section 4
        System.Net.IPNetwork.Parse("fe80::/10"), // link-local: RFC 4291 section 2.5.6
        System.Net.IPNetwork.Parse("ff00::/8"), // multicast: RFC 4291 section 2.7
        System.Net.IPNetwork.Parse("::/128"),
        // Where some clouds answer besides link-local addresses (common practice).
        System.Net.IPNetwork.Parse("100.100.100.200/32"), System.Net.IPNetwork.Parse("192.0.0.192/32"), System.Net.IPNetwork.Parse("fd00:ec2::254/128"),
    ];

    public static bool Holds(IPAddress address) =>
        (address.IsIPv4MappedToIPv6 ? address.MapToIPv4() : address) is var plain && Networks.Any(n => n.BaseAddress.AddressFamily == plain.AddressFamily && n.Contains(plain));
}
