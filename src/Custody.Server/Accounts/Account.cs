using Microsoft.AspNetCore.Identity;

namespace Custody.Server.Accounts;

/// <summary>Somebody who can sign in. Never part of the ledger: who acted there is the party.</summary>
public sealed class Account : IdentityUser
{
    /// <summary>The name shown on screens.</summary>
    public string ShownName { get; set; } = "";

    /// <summary>Names of <see cref="AccountRole"/>.</summary>
    public string[] RoleNames { get; set; } = [];

    /// <summary>Stream name of the party acted for; null for who never acts on a bat.</summary>
    public string? Party { get; set; }

    /// <summary>A closed account stays, so that its name is not given to somebody else; it cannot sign in.</summary>
    public DateTimeOffset? Closed { get; set; }

    public IReadOnlyList<AccountRole> Roles => [.. RoleNames.Select(Enum.Parse<AccountRole>)];
}

/// <summary>Asks somebody to make their account. The link's token is kept as a digest only, works once, and not after its time.</summary>
public sealed class Invitation
{
    public string Id { get; set; } = Guid.NewGuid().ToString("N");
    public string TokenDigest { get; set; } = "";

    /// <summary>What they will sign in with; an address, for whoever signs in elsewhere.</summary>
    public string SignInName { get; set; } = "";
    public string ShownName { get; set; } = "";
    public string[] RoleNames { get; set; } = [];
    public string? Party { get; set; }
    public DateTimeOffset Expires { get; set; }
}

/// <summary>One browser in which somebody is signed in. Ended by deleting it; that holds from the next request on.</summary>
public sealed class Session
{
    public string KeyDigest { get; set; } = "";
    public string AccountId { get; set; } = "";
    public byte[] Ticket { get; set; } = [];

    /// <summary>What the browser says of itself, cut short, so that people know their own sessions apart.</summary>
    public string Browser { get; set; } = "";
    public DateTimeOffset Began { get; set; }
    public DateTimeOffset Expires { get; set; }
}

/// <summary>Lets a program act as an account, within fewer roles and for a time. Shown once, kept as a digest.</summary>
public sealed class ApiToken
{
    public string Id { get; set; } = Guid.NewGuid().ToString("N");
    public string TokenDigest { get; set; } = "";
    public string AccountId { get; set; } = "";
    public string Purpose { get; set; } = "";

    /// <summary>A subset of the account's roles when it was made; what the account lost since does not count.</summary>
    public string[] RoleNames { get; set; } = [];
    public DateTimeOffset Expires { get; set; }
}
