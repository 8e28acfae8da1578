using System.Security.Cryptography;
using Npgsql;
using Wolverine.Runtime.Agents;

namespace Custody.Server.Finding;

/// <summary>Keeps the search index behind the log, in the background: an act never waits for it. Wolverine's leader gives this work to one node, and to another when
/// that one is gone.</summary>
public sealed partial class SearchFollower(SearchIndex index, ILogger<SearchFollower> log) : SingularAgent("custody-search")
{
    static readonly TimeSpan Idle = TimeSpan.FromMilliseconds(500);
    static readonly TimeSpan AfterFault = TimeSpan.FromSeconds(10);

    CancellationTokenSource? stop;
    Task following = Task.CompletedTask;

    protected override Task startAsync(CancellationToken cancellationToken)
    {
        stop = new();
        following = Task.Run(() => Follow(stop.Token), CancellationToken.None);
        return Task.CompletedTask;
    }

    protected override async Task stopAsync(CancellationToken cancellationToken)
    {
        if (stop is null) return;
        await stop.CancelAsync();
        await following;
        stop.Dispose();
        stop = null;
    }

    async Task Follow(CancellationToken stopping)
    {
        while (!stopping.IsCancellationRequested)
        {
            try
            {
                if (await index.Follow(stopping) == 0) await Task.Delay(Idle, stopping);
            }
            catch (OperationCanceledException) when (stopping.IsCancellationRequested)
            {
                return;
            }
            // A value or key that cannot be read must not end the work: it is said, and tried again.
            catch (Exception thrown) when (thrown is NpgsqlException or IOException or CryptographicException)
            {
                Paused(log, thrown, AfterFault);
                await Task.Delay(AfterFault, stopping).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            }
        }
    }

    [LoggerMessage(1, LogLevel.Warning, "The search index waits {Pause}")]
    static partial void Paused(ILogger log, Exception thrown, TimeSpan pause);
}
