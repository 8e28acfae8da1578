namespace Custody.Server.Accounts;

/// <summary>Lets the first keeper in.</summary>
static class FirstRun
{
    /// <summary>The sentence with the one-time link, while the ledger has no account; null afterwards.</summary>
    public static async Task<string?> Say(IServiceProvider services, string url, CancellationToken ct)
    {
        await using var scope = services.CreateAsyncScope();
        return await scope.ServiceProvider.GetRequiredService<AccountDesk>().FirstKeeper(ct) is { } token
            ? $"This ledger has no account yet. Whoever opens this link first becomes its keeper: {url.Split(';')[0]}/invited?token={token}"
            : null;
    }
}
