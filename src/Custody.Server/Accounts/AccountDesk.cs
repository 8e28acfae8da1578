using Custody.Bats;
using Custody.Server.Recording;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;

namespace Custody.Server.Accounts;

/// <summary>Who has an account: inviting, closing, ending sessions, tokens. Page and command do the same through it.</summary>
public sealed class AccountDesk(AccountsDb db, UserManager<Account> accounts, TimeProvider clock)
{
    static readonly TimeSpan InvitationLasts = TimeSpan.FromDays(7), LongestToken = TimeSpan.FromDays(366);

    public static Refusal InvitationUnknown { get; } = new("invitation-unknown", "This invitation is not known, was used, or has expired.", "Ask the keeper for a new one.");

    /// <summary>Invites somebody. The token is in the answer only.</summary>
    public async Task<(string? Token, Refusal? Refused)> Invite(string signInName, string shownName, IReadOnlyList<AccountRole> roles, PartyId? party, CancellationToken ct)
    {
        (signInName, shownName) = (signInName.Trim(), shownName.Trim());
        if (await WhyNot(signInName, shownName, roles, party) is { } refused) return (null, refused);
        var token = Secrets.New();
        db.Invitations.Add(new()
        {
            TokenDigest = Secrets.Digest(token),
            SignInName = signInName,
            ShownName = shownName,
            RoleNames = [.. roles.Distinct().Select(r => r.ToString())],
            Party = party?.ToString(),
            Expires = clock.GetUtcNow() + InvitationLasts,
        });
        await db.SaveChangesAsync(ct);
        return (token, null);
    }

    /// <summary>Why there can be no such account; null when there can.</summary>
    async Task<Refusal?> WhyNot(string signInName, string shownName, IReadOnlyList<AccountRole> roles, PartyId? party) =>
        signInName.Length is < 3 or > 200 || shownName.Length is < 1 or > 200
            ? new("name-unfit", "A name is missing or too long.", "Give a name to sign in with (3 to 200 characters) and a name to show.")
        : roles.Count == 0 ? new("role-missing", "No role was given.", "Give one role at least.")
        : party is null && roles.Any(r => r is not (AccountRole.Auditor or AccountRole.Keeper))
            ? new("party-missing", "Who acts on bats acts for a party.", "Name the house or the owner that the account acts for.")
        : await accounts.FindByNameAsync(signInName) is not null ? new("name-taken", "An account has this name.", "Choose another name to sign in with.")
        : null;

    /// <summary>The first keeper's invitation, while there is no account; null afterwards. An earlier one no longer works.</summary>
    public async Task<string?> FirstKeeper(CancellationToken ct)
    {
        if (await db.Users.AnyAsync(ct)) return null;
        await db.Invitations.ExecuteDeleteAsync(ct);
        return (await Invite("keeper", "The keeper", [AccountRole.Keeper], null, ct)).Token;
    }

    /// <summary>The open invitation with this token; null when there is none.</summary>
    public async Task<Invitation?> Invitation(string token, CancellationToken ct)
    {
        var (digest, now) = (Secrets.Digest(token), clock.GetUtcNow());
        return await db.Invitations.AsNoTracking().FirstOrDefaultAsync(i => i.TokenDigest == digest && i.Expires > now, ct);
    }

    /// <summary>Makes the invited account with a password, and uses the invitation up. Exactly one of two who take it at once gets it.</summary>
    public async Task<(Account? Account, IReadOnlyList<string> Refused)> Take(string token, string password, CancellationToken ct) =>
        await Invitation(token, ct) is { } invitation
            ? await Take(invitation, account => accounts.CreateAsync(account, password), ct)
            : (null, [InvitationUnknown.Sentence + " " + InvitationUnknown.Remedy]);

    /// <summary>The same for whoever signed in elsewhere: the open invitation to this address, which the issuer verified. Without a password.</summary>
    /// <returns>Null when nobody was invited under that address.</returns>
    public async Task<Account?> TakeByAddress(string address, CancellationToken ct)
    {
        var invitation = (await OpenInvitations(ct)).LastOrDefault(i => string.Equals(i.SignInName, address, StringComparison.OrdinalIgnoreCase));
        return invitation is null ? null : (await Take(invitation, accounts.CreateAsync, ct)).Account;
    }

    async Task<(Account? Account, IReadOnlyList<string> Refused)> Take(Invitation invitation, Func<Account, Task<Microsoft.AspNetCore.Identity.IdentityResult>> make, CancellationToken ct)
    {
        var account = new Account { UserName = invitation.SignInName, ShownName = invitation.ShownName, RoleNames = invitation.RoleNames, Party = invitation.Party };
        await using var transaction = await db.Database.BeginTransactionAsync(ct);
        if (await db.Invitations.Where(i => i.Id == invitation.Id).ExecuteDeleteAsync(ct) == 0) return (null, [InvitationUnknown.Sentence]);
        var made = await make(account);
        if (!made.Succeeded) return (null, [.. made.Errors.Select(e => e.Description)]);
        await transaction.CommitAsync(ct);
        return (account, []);
    }

    public async Task<IReadOnlyList<Account>> All(CancellationToken ct) => await db.Users.AsNoTracking().OrderBy(a => a.ShownName).ToListAsync(ct);

    public async Task<IReadOnlyList<Invitation>> OpenInvitations(CancellationToken ct)
    {
        var now = clock.GetUtcNow();
        return await db.Invitations.AsNoTracking().Where(i => i.Expires > now).OrderBy(i => i.Expires).ToListAsync(ct);
    }

    public Task Withdraw(string invitation, CancellationToken ct) => db.Invitations.Where(i => i.Id == invitation).ExecuteDeleteAsync(ct);

    public async Task<IReadOnlyList<Session>> SessionsOf(string account, CancellationToken ct)
    {
        var now = clock.GetUtcNow();
        return await db.Sessions.AsNoTracking().Where(s => s.AccountId == account && s.Expires > now).OrderBy(s => s.Began).ToListAsync(ct);
    }

    /// <summary>Ends one session of an account, or all of them.</summary>
    public Task EndSessions(string account, string? digest, CancellationToken ct) =>
        db.Sessions.Where(s => s.AccountId == account && (digest == null || s.KeyDigest == digest)).ExecuteDeleteAsync(ct);

    /// <summary>Ends every session of an account but one.</summary>
    public Task EndOtherSessions(string account, string? kept, CancellationToken ct) => db.Sessions.Where(s => s.AccountId == account && s.KeyDigest != kept).ExecuteDeleteAsync(ct);

    // Without a keeper nobody could invite one.
    async Task<Refusal?> IfLastKeeper(string id, CancellationToken ct)
    {
        var keepers = await db.Users.Where(a => a.Closed == null && a.RoleNames.Contains(nameof(AccountRole.Keeper))).Select(a => a.Id).ToListAsync(ct);
        return keepers is [var last] && last == id ? new("last-keeper", "This is the last keeper's account.", "Invite another keeper first.") : null;
    }

    /// <summary>Closes an account: it cannot sign in, its sessions end and its tokens are void, at once.</summary>
    /// <returns>Null when it was closed; otherwise why not.</returns>
    public async Task<Refusal?> Close(string id, CancellationToken ct)
    {
        if (await IfLastKeeper(id, ct) is { } refused) return refused;
        var now = clock.GetUtcNow();
        await db.Users.Where(a => a.Id == id && a.Closed == null).ExecuteUpdateAsync(a => a.SetProperty(x => x.Closed, now), ct);
        await EndSessions(id, null, ct);
        await db.Tokens.Where(t => t.AccountId == id).ExecuteDeleteAsync(ct);
        return null;
    }

    /// <summary>Gives an account other roles. Its sessions end: they were begun under the old ones.</summary>
    public async Task<Refusal?> SetRoles(string id, IReadOnlyList<AccountRole> roles, CancellationToken ct)
    {
        if (roles.Count == 0) return new("role-missing", "No role was given.", "Give one role at least, or close the account.");
        if (!roles.Contains(AccountRole.Keeper) && await IfLastKeeper(id, ct) is { } refused) return refused;
        string[] names = [.. roles.Distinct().Select(r => r.ToString())];
        await db.Users.Where(a => a.Id == id).ExecuteUpdateAsync(a => a.SetProperty(x => x.RoleNames, names), ct);
        await EndSessions(id, null, ct);
        return null;
    }

    /// <summary>Makes an account for a program: it has no password, so nobody signs in with it; tokens are made for it.</summary>
    public async Task<(Account? Account, Refusal? Refused)> MakeProgram(string name, IReadOnlyList<AccountRole> roles, PartyId? party, CancellationToken ct)
    {
        name = name.Trim();
        if (await WhyNot(name, name, roles, party) is { } refused) return (null, refused);
        Account account = new() { UserName = name, ShownName = name, RoleNames = [.. roles.Distinct().Select(r => r.ToString())], Party = party?.ToString() };
        var made = await accounts.CreateAsync(account);
        return made.Succeeded ? (account, null) : (null, new("account-not-made", made.Errors.First().Description, "Choose another name."));
    }

    /// <summary>Makes a token for a program. The token is in the answer only.</summary>
    public async Task<(string? Token, Refusal? Refused)> MakeToken(Account account, string purpose, IReadOnlyList<AccountRole> roles, TimeSpan lasts, CancellationToken ct)
    {
        purpose = purpose.Trim();
        if (purpose.Length is 0 or > 200) return (null, new("purpose-missing", "What the token is for was not said.", "Say it in 200 characters at most."));
        if (roles.Count == 0 || roles.Except(account.Roles).Any()) return (null, new("role-not-yours", "A token has one role at least, and none that its account lacks.", "Choose among your own roles."));
        if (lasts <= TimeSpan.Zero || lasts > LongestToken) return (null, new("token-time", "A token lasts a year at most.", "Give 1 to 366 days."));
        var token = Secrets.New();
        db.Tokens.Add(new() { TokenDigest = Secrets.Digest(token), AccountId = account.Id, Purpose = purpose, RoleNames = [.. roles.Select(r => r.ToString())], Expires = clock.GetUtcNow() + lasts });
        await db.SaveChangesAsync(ct);
        return (token, null);
    }

    public async Task<IReadOnlyList<ApiToken>> TokensOf(string account, CancellationToken ct) =>
        await db.Tokens.AsNoTracking().Where(t => t.AccountId == account).OrderBy(t => t.Expires).ToListAsync(ct);

    public Task Revoke(string account, string token, CancellationToken ct) => db.Tokens.Where(t => t.AccountId == account && t.Id == token).ExecuteDeleteAsync(ct);
}
