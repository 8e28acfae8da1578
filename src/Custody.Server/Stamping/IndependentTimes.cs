using Custody.Server.Configuring;
using Custody.Server.Cosigning;
using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Transparency;
using Npgsql;
using Wolverine;

namespace Custody.Server.Stamping;

/// <summary>Asks for a stamp when one is due.</summary>
public sealed record StampCheckpoint;

/// <summary>Has the newest checkpoint stamped, in the background; a fault is tried again on the schedule that the host sets.</summary>
public static class StampCheckpointHandler
{
    public static Task Handle(StampCheckpoint asked, Stamper stamper, CancellationToken ct) => stamper.Stamp(ct);
}

/// <summary>On the node that sequences: sees to it that others time what this ledger signs. Cosigners are asked soon after each checkpoint, the authority as
/// often as the keeper set.</summary>
public sealed partial class IndependentTimes(
    Cosigners cosigners, CosigningStanding standing, Stamper stamper, StampSettings stamping, Checkpoints checkpoints, SequencerStanding sequencer, IServiceProvider services,
    NpgsqlDataSource database, LedgerPlace place, TimeProvider clock, ILogger<IndependentTimes> log) : BackgroundService
{
    readonly TimeSpan soon = TimeSpan.FromSeconds(Settings.CosignSeconds.Number(Environment.GetEnvironmentVariable));
    static readonly TimeSpan LongestPause = TimeSpan.FromMinutes(10), TryAgain = TimeSpan.FromHours(1);

    readonly Dictionary<string, long> alarmed = new(StringComparer.Ordinal);
    DateTimeOffset nextStamp;
    long cosigned;

    protected override async Task ExecuteAsync(CancellationToken stopping)
    {
        var pause = soon;
        while (!stopping.IsCancellationRequested)
        {
            try
            {
                await Task.Delay(pause, clock, stopping);
                await Turn(stopping);
                (pause, standing.Fault) = (soon, null);
            }
            catch (OperationCanceledException) when (stopping.IsCancellationRequested)
            {
                return;
            }
            catch (Exception thrown) when (thrown is NpgsqlException or IOException or TimeoutException or Malformed or LogFault)
            {
                Paused(log, thrown);
                if (thrown is Malformed or LogFault) standing.Fault = $"Nobody can be asked to cosign. {thrown.Message}";
                pause = pause * 2 < LongestPause ? pause * 2 : LongestPause;
            }
        }
    }

    async Task Turn(CancellationToken ct)
    {
        if (sequencer.State != SequencerState.Leading || await Lags(ct) || checkpoints.LastOutside() is not { } newest) return;
        var now = clock.GetUtcNow();
        if (now >= nextStamp && stamper.IsDue(newest.Size, now))
        {
            await using var scope = services.CreateAsyncScope();
            await scope.ServiceProvider.GetRequiredService<IMessageBus>().PublishAsync(new StampCheckpoint());
            // The message is tried a few times within minutes; an authority that is away for longer is asked again before the next stamp would be due.
            nextStamp = now + (stamping.Every < TryAgain ? stamping.Every : TryAgain);
        }
        if (newest.Size == cosigned || await cosigners.Gather(ct, patient: true) is not { } gathered) return;
        foreach (var alarm in gathered.Standings.Where(s => s.IsAlarm && alarmed.GetValueOrDefault(s.Name) != gathered.Checkpoint.Size))
        {
            alarmed[alarm.Name] = gathered.Checkpoint.Size;
            Alarmed(log, alarm.Name, alarm.Fault!);
        }
        if (gathered.Standings.All(s => s.Fault is null)) cosigned = gathered.Checkpoint.Size;
    }

    /// <summary>Whether entries wait for longer than the checkpoints' pace: then the newest tree is behind what is recorded, and to have it timed now would make
    /// honest times of recording look false.</summary>
    async Task<bool> Lags(CancellationToken ct)
    {
        await using var command = database.CreateCommand(
            $"select exists (select from {place.Schema}.custody_pending) and coalesce((select max(signed) < now() - interval '1 minute' from {place.Schema}.custody_checkpoint), true)");
        return (bool)(await command.ExecuteScalarAsync(ct))!;
    }

    [LoggerMessage(1, LogLevel.Warning, "Gathering the word of others paused")]
    static partial void Paused(ILogger log, Exception thrown);

    [LoggerMessage(2, LogLevel.Critical, "Cosigner {Name}: {Sentence}")]
    static partial void Alarmed(ILogger log, string name, string sentence);
}
