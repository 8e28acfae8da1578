using Microsoft.AspNetCore.Authorization;

namespace Custody.Server.Accounts;

/// <summary>Names who may use an endpoint or page. Every route carries this or <see cref="Anybody"/>; a test lists them all.</summary>
[AttributeUsage(AttributeTargets.Class | AttributeTargets.Method)]
public sealed class MayUse : AuthorizeAttribute
{
    public MayUse(params AccountRole[] roles) => Roles = string.Join(',', roles);
}

/// <summary>Open to whoever comes, signed in or not.</summary>
[AttributeUsage(AttributeTargets.Class | AttributeTargets.Method)]
public sealed class Anybody : AllowAnonymousAttribute;
