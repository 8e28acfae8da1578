using System.CommandLine;
using Custody.Bats;
using Custody.Server.Operating;
using Microsoft.EntityFrameworkCore;
using Command = System.CommandLine.Command;

namespace Custody.Server.Accounts;

/// <summary>The command <c>account</c>: for whoever may run programs on the machine, who could read its keys anyway.</summary>
static class AccountCommand
{
    public static Command Make(Option<DirectoryInfo> data)
    {
        Argument<string> name = new("name") { Description = "What the account signs in with." };
        Option<string> shown = new("--shown") { Description = "Name shown on screens; the name to sign in with when left out.", DefaultValueFactory = _ => "" };
        Option<AccountRole[]> roles = new("--role") { Description = "What they come to do; may be given several times.", AllowMultipleArgumentsPerToken = true, Required = true };
        Option<string?> party = new("--party") { Description = "Stream name of the party that the account acts for." };
        Option<string> host = new("--host") { Description = "Address in the link.", DefaultValueFactory = _ => "http://127.0.0.1:5080" };

        var list = new Command("list", "List accounts.") { data };
        list.SetAction((parsed, ct) => With(parsed.GetValue(data)!, async desk =>
        {
            foreach (var account in await desk.All(ct))
                await Console.Out.WriteLineAsync($"{account.UserName}  {account.ShownName}  {string.Join(',', account.RoleNames)}  {account.Party}{(account.Closed is null ? "" : "  closed")}");
            return 0;
        }, ct));
        var invite = new Command("invite", "Make an invitation and print its link, which works once.") { name, shown, roles, party, host, data };
        invite.SetAction((parsed, ct) => With(parsed.GetValue(data)!, async desk =>
        {
            if (!TryParty(parsed.GetValue(party), out var acting)) return await Refuse(PartyUnreadable);
            var (token, refused) = await desk.Invite(parsed.GetValue(name)!, parsed.GetValue(shown) is { Length: > 0 } s ? s : parsed.GetValue(name)!, parsed.GetValue(roles)!, acting, ct);
            if (refused is not null) return await Refuse(refused);
            await Console.Out.WriteLineAsync($"{parsed.GetValue(host)}/invited?token={token}");
            return 0;
        }, ct));
        var close = new Command("close", "Close an account: its sessions end and its tokens are void, at once.") { name, data };
        close.SetAction((parsed, ct) => With(parsed.GetValue(data)!, desk => On(desk, parsed.GetValue(name)!, account => desk.Close(account.Id, ct), ct), ct));
        var end = new Command("end-sessions", "End every session of an account.") { name, data };
        end.SetAction((parsed, ct) => With(parsed.GetValue(data)!, desk => On(desk, parsed.GetValue(name)!, async account =>
        {
            await desk.EndSessions(account.Id, null, ct);
            return null;
        }, ct), ct));
        var change = new Command("roles", "Give an account other roles; its sessions end.") { name, roles, data };
        change.SetAction((parsed, ct) => With(parsed.GetValue(data)!, desk => On(desk, parsed.GetValue(name)!, account => desk.SetRoles(account.Id, parsed.GetValue(roles)!, ct), ct), ct));
        Option<int> days = new("--days") { Description = "How long it lasts.", DefaultValueFactory = _ => 90 };
        Option<string> purpose = new("--for") { Description = "What it is for.", Required = true };
        var token = new Command("token", "Make a token for a program and print it, once.") { name, roles, purpose, days, data };
        token.SetAction((parsed, ct) => With(parsed.GetValue(data)!, desk => On(desk, parsed.GetValue(name)!, async account =>
        {
            var (made, refused) = await desk.MakeToken(account, parsed.GetValue(purpose)!, parsed.GetValue(roles)!, TimeSpan.FromDays(parsed.GetValue(days)), ct);
            if (made is not null) await Console.Out.WriteLineAsync(made);
            return refused;
        }, ct), ct));
        var program = new Command("program", "Make an account for a program, without a password, and print its token, once.") { name, roles, party, purpose, days, data };
        program.SetAction((parsed, ct) => With(parsed.GetValue(data)!, async desk =>
        {
            if (!TryParty(parsed.GetValue(party), out var acting)) return await Refuse(PartyUnreadable);
            var (account, unmade) = await desk.MakeProgram(parsed.GetValue(name)!, parsed.GetValue(roles)!, acting, ct);
            if (account is null) return await Refuse(unmade!);
            var (made, refused) = await desk.MakeToken(account, parsed.GetValue(purpose)!, parsed.GetValue(roles)!, TimeSpan.FromDays(parsed.GetValue(days)), ct);
            if (made is null) return await Refuse(refused!);
            await Console.Out.WriteLineAsync(made);
            return 0;
        }, ct));
        return new Command("account", "Accounts: who may sign in.") { list, invite, close, end, change, token, program };
    }

    static readonly Refusal PartyUnreadable = new("party-unreadable", "--party is no party's stream.", "Give party/ and 26 characters.");

    static bool TryParty(string? said, out PartyId? party)
    {
        party = StreamName.TryParse(said, out var stream) && stream.Kind == "party" ? new PartyId(stream) : null;
        return said is null || party is not null;
    }

    static async Task<int> On(AccountDesk desk, string name, Func<Account, Task<Refusal?>> what, CancellationToken ct) =>
        (await desk.All(ct)).FirstOrDefault(a => string.Equals(a.UserName, name, StringComparison.OrdinalIgnoreCase)) is not { } account
            ? await Refuse(new("account-unknown", "There is no account of this name.", "See `account list`."))
            : await what(account) is { } refused ? await Refuse(refused) : 0;

    static async Task<int> Refuse(Refusal refusal)
    {
        await Console.Error.WriteLineAsync($"{refusal.Sentence} {refusal.Remedy}");
        return 1;
    }

    static async Task<int> With(DirectoryInfo data, Func<AccountDesk, Task<int>> work, CancellationToken ct)
    {
        await using var ledger = await OpenedLedger.Open(data, ct);
        await using var scope = ledger.Get<IServiceScopeFactory>().CreateAsyncScope();
        return await work(scope.ServiceProvider.GetRequiredService<AccountDesk>());
    }
}
