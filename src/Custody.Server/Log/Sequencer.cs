using Custody.Server.Recording;
using Npgsql;

namespace Custody.Server.Log;

/// <summary>Orders entries and publishes checkpoints, on one node at a time: whoever holds the database's advisory lock. When that node or its
/// connection dies the lock is free, and the next node goes on from what is durable.</summary>
public sealed partial class Sequencer(
    LedgerPlace place, Leaves leaves, Publisher publisher, PresentKey present, AppendSignal signal, SequencerStanding standing, ILogger<Sequencer> log) : BackgroundService
{
    const long Lock = 0x63757374736571;
    static readonly TimeSpan Idle = TimeSpan.FromMilliseconds(100);
    static readonly TimeSpan LongestPause = TimeSpan.FromSeconds(15);

    protected override async Task ExecuteAsync(CancellationToken stopping)
    {
        var pause = Idle;
        standing.State = SequencerState.Waiting;
        while (!stopping.IsCancellationRequested)
        {
            try
            {
                await using var connection = await Store.OpenOutsideThePool(place.ConnectionString, stopping);
                await LetGoWhenFrozen(connection, stopping);
                if (await Holds(connection, stopping))
                {
                    pause = Idle;
                    standing.Trouble = null;
                    await Run(connection, stopping);
                }
                standing.State = SequencerState.Waiting;
                standing.Trouble = null;
                await Task.Delay(TimeSpan.FromSeconds(1), stopping);
            }
            catch (OperationCanceledException) when (stopping.IsCancellationRequested)
            {
                return;
            }
            catch (LogFault fault)
            {
                // Not tried again: a person must look at it. Acts are still recorded; they wait.
                standing.State = SequencerState.Stopped;
                standing.Fault = fault;
                Stopped(log, fault.Code, fault.Message);
                return;
            }
            catch (OutOfTurn)
            {
                standing.State = SequencerState.Waiting;
            }
            catch (Exception thrown) when (thrown is NpgsqlException or IOException or TimeoutException)
            {
                standing.State = SequencerState.Waiting;
                standing.Trouble = thrown is IOException ? "The log's folder cannot be read or written." : "The database does not answer the sequencer.";
                Paused(log, thrown, pause);
                await Task.Delay(pause, stopping);
                pause = pause * 2 < LongestPause ? pause * 2 : LongestPause;
            }
        }
    }

    async Task Run(NpgsqlConnection connection, CancellationToken stopping)
    {
        await present.Take(stopping);
        await leaves.Rescan(stopping);
        await publisher.Start(stopping);
        standing.State = SequencerState.Leading;
        while (!stopping.IsCancellationRequested)
        {
            // Losing this connection means losing the lock: the query throws and the loop is left.
            await using (var alive = new NpgsqlCommand("select 1", connection)) await alive.ExecuteNonQueryAsync(stopping);
            var more = await Turn(stopping);
            standing.Published = publisher.Published;
            if (!more) await signal.Wait(Idle, stopping);
        }
    }

    /// <summary>One turn: order what waits, up to a few batches, then publish.</summary>
    /// <returns>True when more may wait.</returns>
    public async Task<bool> Turn(CancellationToken ct)
    {
        var batches = 0;
        while (batches < 10 && await leaves.Take(ct) == Leaves.Batch) batches++;
        return await publisher.Publish(ct) && batches == 10;
    }

    Task<bool> Holds(NpgsqlConnection connection, CancellationToken ct) => TryLead(connection, place, ct);

    /// <summary>A frozen process only seems to hold on: PostgreSQL ends this session, and frees its lock, when nothing was asked on it for so long. Leading asks
    /// ten times a second.</summary>
    static async Task LetGoWhenFrozen(NpgsqlConnection connection, CancellationToken ct)
    {
        await using NpgsqlCommand command = new("set idle_session_timeout = '10s'", connection);
        await command.ExecuteNonQueryAsync(ct);
    }

    /// <summary>Takes the ledger's lock for the life of this connection, unless another holds it.</summary>
    internal static async Task<bool> TryLead(NpgsqlConnection connection, LedgerPlace place, CancellationToken ct)
    {
        // One lock for each ledger: two ledgers of one database each have a sequencer.
        await using var command = new NpgsqlCommand("select pg_try_advisory_lock(hashtextextended($1, $2))", connection);
        command.Parameters.Add(new() { Value = place.Schema });
        command.Parameters.Add(new() { Value = Lock });
        return (bool)(await command.ExecuteScalarAsync(ct))!;
    }

    /// <summary>Whether any node holds this ledger's lock. The database lists a lock's key in two halves.</summary>
    internal static async Task<bool> IsLed(NpgsqlDataSource database, LedgerPlace place, CancellationToken ct)
    {
        await using var command = database.CreateCommand(
            """
            select exists (select from pg_locks, hashtextextended($1, $2) as key
                where locktype = 'advisory' and granted and objsubid = 1 and database = (select oid from pg_database where datname = current_database())
                and classid = ((key >> 32) & 4294967295)::oid and objid = (key & 4294967295)::oid)
            """);
        command.Parameters.Add(new() { Value = place.Schema });
        command.Parameters.Add(new() { Value = Lock });
        return (bool)(await command.ExecuteScalarAsync(ct))!;
    }

    [LoggerMessage(1, LogLevel.Critical, "Sequencing stopped ({Code}): {Sentence}")]
    static partial void Stopped(ILogger log, string code, string sentence);

    [LoggerMessage(2, LogLevel.Warning, "Sequencing paused for {Pause}")]
    static partial void Paused(ILogger log, Exception thrown, TimeSpan pause);
}

public enum SequencerState
{
    Waiting,
    Leading,
    Stopped,
}

/// <summary>How the sequencer of this node stands, for health and for those who wait.</summary>
public sealed class SequencerStanding
{
    public SequencerState State { get; set; }
    public LogFault? Fault { get; set; }

    /// <summary>Why it pauses; null while it works or another node does.</summary>
    public string? Trouble { get; set; }

    public long Published { get; set; }
}
