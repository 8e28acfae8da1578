using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Recording;
using Marten;

namespace Custody.Server.Log;

/// <summary>Holds the key files against the ledger's own entries: whatever a crash left of a change of key is completed, and a key that the ledger
/// does not name never signs.</summary>
public sealed class PresentKey(LedgerPlace place, IDocumentStore store, Histories histories, LogKeys keys, KeyEntries entries)
{
    public string Folder => place.Folder("keys/log");

    /// <summary>What the ledger says of itself; null while it is not open.</summary>
    public async Task<LedgerState?> Ledger(CancellationToken ct)
    {
        if (await histories.All("ledger", ct) is not [var own, ..]) return null;
        await using var session = store.QuerySession();
        return await session.LoadAsync<LedgerState>(own.ToString(), ct);
    }

    /// <summary>Signs with the key that the ledger names from here on.</summary>
    /// <exception cref="LogFault">That key, or the promise after it, is not in the folder.</exception>
    public async Task Take(CancellationToken ct)
    {
        if (await Ledger(ct) is not { Exists: true } ledger) return;
        var lines = (await histories.Load(StreamName.Parse(ledger.Id), ct)).Bytes;
        entries.Keep(lines);
        try
        {
            KeyChange.Complete(Folder, place.Origin, ledger.Key, ledger.NextKey);
        }
        catch (LogFault fault) when (fault.Code == "key-away" && lines.Any(l => Gone.IsOne(l)))
        {
            throw new LogFault("key-change-lost", $"The ledger names a key that is not in {Folder}, and an entry of its own stream is gone that may have changed it. Put that back from a dossier made since ('restore put-back DOSSIER'), or bring the folder log/key-entries back.");
        }
        // Another process may have changed them too.
        if (keys.Signer.Verifier.Text != ledger.Key || keys.NextDigest.Text != ledger.NextKey) keys.Refresh();
        if (keys.NextDigest.Text != ledger.NextKey)
            throw new LogFault("key-promise", $"The file next.digest in {Folder} is not what the ledger promised. Bring the right one back.");
    }
}
