using System.Security.Claims;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Authentication.Cookies;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.EntityFrameworkCore;

namespace Custody.Server.Accounts;

/// <summary>Keeps sessions in the database, so that ending one holds from the next request on, on every node. The cookie carries a random name and nothing else.</summary>
public sealed class Sessions(IServiceScopeFactory scopes, IDataProtectionProvider protection, IHttpContextAccessor http, TimeProvider clock) : ITicketStore
{
    const int LongestBrowser = 120;

    readonly IDataProtector protector = protection.CreateProtector("custody session ticket");

    public async Task<string> StoreAsync(AuthenticationTicket ticket)
    {
        var key = Secrets.New();
        await using var scope = scopes.CreateAsyncScope();
        var db = scope.ServiceProvider.GetRequiredService<AccountsDb>();
        var said = http.HttpContext?.Request.Headers.UserAgent.ToString() ?? "";
        var now = clock.GetUtcNow();
        await db.Sessions.Where(s => s.Expires < now).ExecuteDeleteAsync();
        db.Sessions.Add(new()
        {
            KeyDigest = Secrets.Digest(key),
            AccountId = ticket.Principal.FindFirstValue(ClaimTypes.NameIdentifier)!,
            Ticket = protector.Protect(TicketSerializer.Default.Serialize(ticket)),
            Browser = said.Length > LongestBrowser ? said[..LongestBrowser] : said,
            Began = now,
            Expires = ticket.Properties.ExpiresUtc ?? now.AddHours(12),
        });
        await db.SaveChangesAsync();
        return key;
    }

    public async Task RenewAsync(string key, AuthenticationTicket ticket)
    {
        await using var scope = scopes.CreateAsyncScope();
        var (digest, bytes) = (Secrets.Digest(key), protector.Protect(TicketSerializer.Default.Serialize(ticket)));
        var expires = ticket.Properties.ExpiresUtc ?? clock.GetUtcNow().AddHours(12);
        var account = ticket.Principal.FindFirstValue(ClaimTypes.NameIdentifier);
        // Never one account's ticket under another's name.
        await scope.ServiceProvider.GetRequiredService<AccountsDb>().Sessions.Where(s => s.KeyDigest == digest && s.AccountId == account)
            .ExecuteUpdateAsync(s => s.SetProperty(x => x.Ticket, bytes).SetProperty(x => x.Expires, expires));
    }

    public async Task<AuthenticationTicket?> RetrieveAsync(string key)
    {
        await using var scope = scopes.CreateAsyncScope();
        var (digest, now) = (Secrets.Digest(key), clock.GetUtcNow());
        var db = scope.ServiceProvider.GetRequiredService<AccountsDb>();
        // A session begun while its account was being closed is over too.
        var found = await db.Sessions.AsNoTracking().FirstOrDefaultAsync(s => s.KeyDigest == digest && s.Expires > now && db.Users.Any(a => a.Id == s.AccountId && a.Closed == null));
        if (found is not null && http.HttpContext is { } context) context.Items[typeof(Session)] = digest;
        return found is null ? null : TicketSerializer.Default.Deserialize(protector.Unprotect(found.Ticket));
    }

    /// <summary>The digest of the session in which this request came; null when in none.</summary>
    public static string? Present(HttpContext context) => context.Items[typeof(Session)] as string;

    public async Task RemoveAsync(string key)
    {
        await using var scope = scopes.CreateAsyncScope();
        var digest = Secrets.Digest(key);
        await scope.ServiceProvider.GetRequiredService<AccountsDb>().Sessions.Where(s => s.KeyDigest == digest).ExecuteDeleteAsync();
    }
}
