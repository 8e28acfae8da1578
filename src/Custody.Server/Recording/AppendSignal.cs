namespace Custody.Server.Recording;

/// <summary>Wakes whoever waits for new entries in this process. Only a nudge: another node's entries are found by looking.</summary>
public sealed class AppendSignal
{
    readonly SemaphoreSlim waiting = new(0, 1);

    public void Appended()
    {
        try
        {
            waiting.Release();
        }
        catch (SemaphoreFullException)
        {
            // Already awake: one nudge is as good as many.
        }
    }

    /// <summary>Returns at the next append here, or after <paramref name="longest"/>.</summary>
    public Task Wait(TimeSpan longest, CancellationToken ct) => waiting.WaitAsync(longest, ct);
}

/// <summary>The origin: the ledger's name in every entry, checkpoint and key. A name, never the host it happens to run on.</summary>
public sealed record LedgerName(string Origin);
