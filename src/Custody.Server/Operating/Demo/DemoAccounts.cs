using System.Text;
using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Private;

namespace Custody.Server.Operating.Demo;

/// <summary>Ready accounts of the story's first house, one for each role. Their password is drawn once, printed, and kept in the data folder for its owner only: a
/// fixed one would one day stand on somebody's network.</summary>
static class DemoAccounts
{
    static readonly (string Name, string Shown, AccountRole Role, string? Party)[] All =
    [
        ("registrar", "Registrar of Bellwether Rooms", AccountRole.Registrar, "party/house"),
        ("cataloguer", "Cataloguer of Bellwether Rooms", AccountRole.Cataloguer, "party/house"),
        ("examiner", "Frayne Examinations", AccountRole.Examiner, "party/frayne-bench"),
        ("owner", "Priya Castellane", AccountRole.Owner, "party/castellane"),
        ("auditor", "Auditor", AccountRole.Auditor, null),
        ("keeper", "Keeper", AccountRole.Keeper, null),
    ];

    /// <summary>Makes those that are missing and says how to sign in.</summary>
    public static async Task Make(IServiceProvider services, string folder, DemoMemory memory, TextWriter text, CancellationToken ct)
    {
        var password = Encoding.UTF8.GetString(OwnerOnly.ReadOrMake(Path.Combine(folder, "demo-password"), () => Encoding.UTF8.GetBytes(Secrets.New()[..20])));
        await using var scope = services.CreateAsyncScope();
        var desk = scope.ServiceProvider.GetRequiredService<AccountDesk>();
        var there = (await desk.All(ct)).Select(a => a.UserName).ToHashSet(StringComparer.Ordinal);
        foreach (var (name, shown, role, party) in All.Where(a => !there.Contains(a.Name)))
        {
            PartyId? acting = party is null ? null : new(memory.StreamOf(DemoHouse.All[0].Name, party) ?? throw new DemoFault($"The story has no {party}."));
            var (token, refused) = await desk.Invite(name, shown, [role], acting, ct);
            if (token is null) throw new DemoFault(refused!.Sentence);
            var (_, reasons) = await desk.Take(token, password, ct);
            if (reasons.Count > 0) throw new DemoFault(string.Join(' ', reasons));
        }
        await text.WriteLineAsync($"Sign in as {string.Join(", ", All.Select(a => a.Name))}; the password of each is {password}");
    }
}
