using Custody.Bats;
using Custody.Server.Recording;

namespace Custody.Server.Log;

/// <summary>A change of key from beginning to end: everything recorded is published, the sequencer rests, the note is made and recorded, the files
/// change, the sequencer goes on under the new key.</summary>
public sealed class KeyHandover(LedgerPlace place, Sequencer sequencer, SequencerStanding standing, LogDesk desk, Histories histories, PresentKey present, Passphrase passphrase)
{
    static readonly TimeSpan LongestWait = TimeSpan.FromSeconds(30);

    /// <param name="record">Records the note on the ledger's stream.</param>
    /// <exception cref="LogFault">Another process sequences this ledger, the promised key is away, or nothing can be published.</exception>
    public async Task<Outcome> Change(Func<string, Task<Outcome>> record, bool compromised, CancellationToken ct)
    {
        var newest = await Published(ct);
        // Two that sequence would sign on both sides of the change: whoever changes the key must be the one that leads.
        if (!await Leads(ct))
            throw new LogFault("sequencing-elsewhere", "Another process sequences this ledger. Stop the server, then change the key.");
        await sequencer.StopAsync(ct);
        try
        {
            return await record(KeyChange.Prepare(present.Folder, place.Origin, newest.Checkpoint, compromised, passphrase));
        }
        finally
        {
            await present.Take(CancellationToken.None);
            await sequencer.StartAsync(CancellationToken.None);
        }
    }

    async Task<bool> Leads(CancellationToken ct)
    {
        for (var tries = 0; standing.State != SequencerState.Leading; tries++)
        {
            if (standing.Fault is { } fault) throw fault;
            if (tries == 100) return false;
            await Task.Delay(50, ct);
        }
        return true;
    }

    /// <summary>The newest checkpoint once everything recorded so far is under it.</summary>
    public async Task<SignedCheckpoint> Published(CancellationToken ct)
    {
        var last = await histories.Last(ct) ?? throw new LogFault("ledger-empty", "The ledger has no entry yet.");
        return await desk.Covering(last.Stream.ToString(), last.N, LongestWait, ct);
    }
}
