using System.Security.Cryptography;
using Npgsql;

namespace Custody.Server.Finding;

/// <summary>Keeps the search index behind the log, in the background: an act never waits for it.</summary>
public sealed partial class SearchFollower(SearchIndex index, ILogger<SearchFollower> log) : BackgroundService
{
    static readonly TimeSpan Idle = TimeSpan.FromMilliseconds(500);
    static readonly TimeSpan AfterFault = TimeSpan.FromSeconds(10);

    protected override async Task ExecuteAsync(CancellationToken stopping)
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
            // A value or key that cannot be read must not take the server down: it is said, and tried again.
            catch (Exception thrown) when (thrown is NpgsqlException or IOException or CryptographicException)
            {
                Paused(log, thrown, AfterFault);
                await Task.Delay(AfterFault, stopping);
            }
        }
    }

    [LoggerMessage(1, LogLevel.Warning, "The search index waits {Pause}")]
    static partial void Paused(ILogger log, Exception thrown, TimeSpan pause);
}
