using Microsoft.AspNetCore.Identity;
using Microsoft.AspNetCore.Identity.EntityFrameworkCore;
using Microsoft.EntityFrameworkCore;

namespace Custody.Server.Accounts;

/// <summary>Accounts, invitations, sessions and tokens, in a schema of their own beside the ledger's. The connection's search path names the schema, so that one
/// process can serve several ledgers.</summary>
public sealed class AccountsDb(DbContextOptions<AccountsDb> options) : IdentityUserContext<Account>(options)
{
    public DbSet<Invitation> Invitations => Set<Invitation>();
    public DbSet<Session> Sessions => Set<Session>();
    public DbSet<ApiToken> Tokens => Set<ApiToken>();

    protected override void OnModelCreating(ModelBuilder builder)
    {
        base.OnModelCreating(builder);
        builder.Entity<Account>().ToTable("account").Ignore(a => a.Roles);
        builder.Entity<IdentityUserClaim<string>>().ToTable("account_claim");
        builder.Entity<IdentityUserLogin<string>>().ToTable("account_login");
        builder.Entity<IdentityUserToken<string>>().ToTable("account_token");
        builder.Entity<IdentityUserPasskey<string>>().ToTable("account_passkey");
        builder.Entity<Invitation>(t => { t.ToTable("invitation"); t.HasIndex(i => i.TokenDigest).IsUnique(); });
        builder.Entity<Session>(t => { t.ToTable("session").HasKey(s => s.KeyDigest); t.HasIndex(s => s.AccountId); });
        builder.Entity<ApiToken>(t => { t.ToTable("api_token"); t.HasIndex(i => i.TokenDigest).IsUnique(); t.HasIndex(i => i.AccountId); });
    }
}
