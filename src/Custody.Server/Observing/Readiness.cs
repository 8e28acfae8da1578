using System.Globalization;
using Custody.Bats;
using Custody.Server.BackingUp;
using Custody.Server.Log;
using Custody.Server.Recording;
using Npgsql;

namespace Custody.Server.Observing;

/// <summary>Whether this node can do its work, looked at just now.</summary>
/// <param name="Lag">Age of the oldest entry that waits for its place in the log, in seconds; 0 when none waits.</param>
/// <param name="Published">Leaves under the newest checkpoint.</param>
/// <param name="AuditAge">Seconds since an audit was recorded in the ledger; null when none ever was.</param>
/// <param name="DiskFree">Bytes free where the data folder lies.</param>
/// <param name="Reasons">Why the node is not ready; empty when it is.</param>
/// <param name="Warnings">What a keeper should look at though everything works.</param>
public sealed record Standing(double Lag, long Pending, long Published, double? AuditAge, long DiskFree, IReadOnlyList<string> Reasons, IReadOnlyList<string> Warnings);

/// <summary>Looks whether acts can be recorded and published from here, and what else a keeper must know. Says nothing about anybody.</summary>
public sealed class Readiness(
    LedgerPlace place, NpgsqlDataSource database, SequencerStanding sequencer, BackupStanding backup, Checkpoints checkpoints, Histories histories, TimeProvider clock)
{
    /// <summary>Leaf 0 promises a checkpoint within so many seconds while entries wait.</summary>
    public const double LongestLag = 60;

    /// <summary>Below so many bytes nothing should come in any more: PostgreSQL stops on a full disk. Below ten times as many there is a warning.</summary>
    public const long LeastDisk = 500_000_000;

    static readonly TimeSpan AuditDue = TimeSpan.FromDays(8), ArchiveDue = TimeSpan.FromMinutes(10);

    public async Task<Standing> Look(CancellationToken ct)
    {
        List<string> reasons = [], warnings = [];
        var free = new DriveInfo(place.DataFolder).AvailableFreeSpace;
        if (free < LeastDisk) reasons.Add(Say($"Only {free / 1_000_000} MB are free where the data folder lies."));
        else if (free < 10 * LeastDisk) warnings.Add(Say($"{free / 1_000_000} MB are free where the data folder lies."));
        if (sequencer.Fault is { } fault) reasons.Add($"Sequencing stopped: {fault.Code}.");
        else if (sequencer.Trouble is { } trouble) reasons.Add(trouble);
        if (backup.Fault is { } unsaved) warnings.Add(unsaved);
        try
        {
            return await Look(free, reasons, warnings, ct);
        }
        catch (NpgsqlException)
        {
            return new(0, 0, sequencer.Published, null, free, [.. reasons, "The database does not answer."], warnings);
        }
    }

    async Task<Standing> Look(long free, List<string> reasons, List<string> warnings, CancellationToken ct)
    {
        if (await Schema.MissingTrigger(database, place.Schema, ct) is { } trigger) reasons.Add($"The trigger {trigger} is missing or disabled: what is recorded may miss the log.");
        if (!await Sequencer.IsLed(database, place, ct)) reasons.Add("No node is sequencing.");
        var (pending, lag) = await Waiting(ct);
        if (lag > LongestLag) reasons.Add(Say($"Entries have waited {lag:0} seconds for their place in the log."));
        var audited = await LastAudit(ct);
        var age = audited is { } when ? (clock.GetUtcNow() - when).TotalSeconds : (double?)null;
        if (age is null || age > AuditDue.TotalSeconds) warnings.Add(age is null ? "No audit was ever recorded ('audit --record')." : Say($"The last audit was recorded {age / 86400:0} days ago."));
        if (await ArchiveFails(ct)) warnings.Add("PostgreSQL cannot hand its write-ahead log to the backup; it keeps it until it can, and the disk fills.");
        return new(lag, pending, checkpoints.LastOutside()?.Size ?? 0, age, free, reasons, warnings);
    }

    async Task<(long Pending, double Lag)> Waiting(CancellationToken ct)
    {
        await using var command = database.CreateCommand(
            $"select count(*), coalesce(extract(epoch from clock_timestamp() - min(e.timestamp))::float8, 0) from {place.Schema}.custody_pending p join {place.Schema}.mt_events e using (seq_id)");
        await using var reader = await command.ExecuteReaderAsync(ct);
        await reader.ReadAsync(ct);
        return (reader.GetInt64(0), Math.Max(0, reader.GetDouble(1)));
    }

    async Task<DateTimeOffset?> LastAudit(CancellationToken ct) =>
        await histories.All("ledger", ct) is [var own, ..] ? (await histories.Open(own, ct)).LastOrDefault(e => e.Fact is Audited)?.Envelope.Recorded : null;

    // Counted from the last success, so that a single failure that was made good is none.
    async Task<bool> ArchiveFails(CancellationToken ct)
    {
        await using var command = database.CreateCommand(
            "select coalesce(last_failed_time > coalesce(last_archived_time, '-infinity') and last_failed_time > clock_timestamp() - $1, false) from pg_stat_archiver");
        command.Parameters.Add(new() { Value = ArchiveDue });
        return (bool)(await command.ExecuteScalarAsync(ct))!;
    }

    static string Say(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
