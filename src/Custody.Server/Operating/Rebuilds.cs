using Custody.Server.Recording;

namespace Custody.Server.Operating;

/// <summary>The <c>rebuild</c> command.</summary>
static class Rebuilds
{
    public static async Task<int> Run(DirectoryInfo data, CancellationToken ct)
    {
        await using var ledger = await OpenedLedger.Open(data, ct);
        await ledger.Get<Rebuilding>().All(name => Console.WriteLine($"Rebuilding {name}"), ct);
        Console.WriteLine("Every read model was made again from the entries.");
        return 0;
    }
}
