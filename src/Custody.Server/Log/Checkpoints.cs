using System.Text;
using Custody.Server.Private;
using Custody.Transparency;
using Npgsql;
using NpgsqlTypes;

namespace Custody.Server.Log;

/// <summary>A signed checkpoint, with the time it was signed at.</summary>
public sealed record SignedCheckpoint(Checkpoint Checkpoint, string Note, DateTimeOffset Signed);

/// <summary>A checkpoint as it is listed.</summary>
/// <param name="Root">Root hash, standard base64 as in the note.</param>
/// <param name="Signed">When it was signed, by this ledger's own clock.</param>
public sealed record CheckpointListed(long Size, string Root, DateTimeOffset Signed);

/// <summary>Every checkpoint ever signed: as files outside the database first, then as rows. The files are what a restored database is held against.</summary>
public sealed class Checkpoints(NpgsqlDataSource database, NodeTurns turns, string folder, string schema)
{
    readonly SizedFiles files = new(Path.Combine(folder, "checkpoints"));

    /// <summary>Name of the mark that a ledger came from a backup and nobody outside was asked since.</summary>
    public const string UnconfirmedName = "unconfirmed";

    string Last => Path.Combine(folder, "checkpoint");

    public bool IsUnconfirmed => File.Exists(Path.Combine(folder, UnconfirmedName));

    public void Confirm() => File.Delete(Path.Combine(folder, UnconfirmedName));

    /// <summary>Takes a checkpoint of this ledger's own that somebody outside kept, larger than any here, as what the database is held against.</summary>
    internal void TakeFromOutside(byte[] note) => Durable.Write(Last, note);

    /// <summary>The last one signed, from outside the database; null before the first.</summary>
    public Checkpoint? LastOutside() =>
        File.Exists(Last) ? Checkpoint.Read(SignedNote.Parse(File.ReadAllBytes(Last))) : null;

    /// <summary>The file of the last one signed; null before the first.</summary>
    public byte[]? NewestFile() => File.Exists(Last) ? File.ReadAllBytes(Last) : null;

    /// <summary>The file of the one signed at a size, kept for ever; null when none was.</summary>
    public byte[]? FileAt(long size) => files.Read(size);

    /// <summary>What was signed, largest size first.</summary>
    /// <param name="below">Only sizes below this one.</param>
    /// <param name="most">At most so many.</param>
    public async Task<IReadOnlyList<CheckpointListed>> List(long below, int most, CancellationToken ct)
    {
        await using var command = database.CreateCommand($"select size, root, signed from {schema}.custody_checkpoint where size < $1 order by size desc limit $2");
        command.Parameters.Add(new() { Value = below, NpgsqlDbType = NpgsqlDbType.Bigint });
        command.Parameters.Add(new() { Value = most, NpgsqlDbType = NpgsqlDbType.Integer });
        List<CheckpointListed> listed = [];
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct))
            listed.Add(new(reader.GetInt64(0), Hash.FromBytes(reader.GetFieldValue<byte[]>(1)).Standard, reader.GetFieldValue<DateTimeOffset>(2)));
        return listed;
    }

    /// <summary>Keeps a new one. A crash between the steps leaves the files ahead of the rows; <see cref="Mend"/> closes that gap.</summary>
    /// <param name="after">Size of the last one, 0 before the first.</param>
    /// <exception cref="OutOfTurn">Another one was last by now: nothing was kept.</exception>
    public async Task Keep(SignedCheckpoint signed, long after, CancellationToken ct)
    {
        var bytes = Encoding.UTF8.GetBytes(signed.Note);
        // The last one first: the other way round a crash in between leaves a file of a size that is never published, and nothing that tells of it.
        Durable.Write(Last, bytes, () => TurnAfter(after));
        Durable.Write(files.PathOf(signed.Checkpoint.Size), bytes);
        await PutRow(signed, ct);
    }

    /// <summary>A node that was frozen, or lost its connection and with it the lock in the database, may find another one at work when it goes on. It must not put a
    /// smaller checkpoint in the place of a larger: this turn is held while the last one is looked at and replaced, and for nothing longer, because a node can be
    /// frozen here too.</summary>
    IDisposable TurnAfter(long size)
    {
        var turn = turns.TryTake("publishing") ?? throw new OutOfTurn();
        if ((LastOutside()?.Size ?? 0) == size) return turn;
        turn.Dispose();
        throw new OutOfTurn();
    }

    /// <summary>Makes file and row of the last checkpoint outside, where a crash came between.</summary>
    public async Task Mend(DateTimeOffset now, CancellationToken ct)
    {
        if (LastOutside() is not { } last) return;
        var bytes = await File.ReadAllBytesAsync(Last, ct);
        if (FileAt(last.Size) is null) Durable.Write(files.PathOf(last.Size), bytes);
        await PutRow(new(last, Encoding.UTF8.GetString(bytes), now), ct);
    }

    /// <summary>The newest published checkpoint, or null before the first.</summary>
    public Task<SignedCheckpoint?> Newest(CancellationToken ct) => At(null, ct);

    /// <summary>The published checkpoint of a size, or null; the newest when no size is asked for.</summary>
    public async Task<SignedCheckpoint?> At(long? size, CancellationToken ct)
    {
        await using var command = database.CreateCommand(
            $"select note, signed from {schema}.custody_checkpoint {(size is null ? "" : "where size = $1")} order by size desc limit 1");
        if (size is { } asked) command.Parameters.Add(new() { Value = asked, NpgsqlDbType = NpgsqlDbType.Bigint });
        await using var reader = await command.ExecuteReaderAsync(ct);
        if (!await reader.ReadAsync(ct)) return null;
        var note = reader.GetString(0);
        return new(Checkpoint.Read(SignedNote.Parse(Encoding.UTF8.GetBytes(note))), note, reader.GetFieldValue<DateTimeOffset>(1));
    }

    /// <summary>Makes the rows of every checkpoint above a size anew from the files, dated as those are: a restored database has lost them.</summary>
    public async Task PutBack(long above, CancellationToken ct)
    {
        var sizes = files.Sizes();
        if (sizes.Length == 0) throw new LogFault("log-folder-lost", $"There is no checkpoint in {files.Folder}. Bring the folder of the log back.");
        foreach (var path in sizes.Where(s => s > above).Select(files.PathOf))
        {
            var bytes = await File.ReadAllBytesAsync(path, ct);
            var signed = DateTimeOffset.FromUnixTimeSeconds(new DateTimeOffset(File.GetLastWriteTimeUtc(path)).ToUnixTimeSeconds());
            await PutRow(new(Checkpoint.Read(SignedNote.Parse(bytes)), Encoding.UTF8.GetString(bytes), signed), ct);
        }
    }

    async Task PutRow(SignedCheckpoint signed, CancellationToken ct)
    {
        await using var command = database.CreateCommand(
            $"insert into {schema}.custody_checkpoint (size, root, note, signed) values ($1, $2, $3, $4) on conflict (size) do nothing");
        command.Parameters.Add(new() { Value = signed.Checkpoint.Size, NpgsqlDbType = NpgsqlDbType.Bigint });
        command.Parameters.Add(new() { Value = signed.Checkpoint.Root.ToArray(), NpgsqlDbType = NpgsqlDbType.Bytea });
        command.Parameters.Add(new() { Value = signed.Note, NpgsqlDbType = NpgsqlDbType.Text });
        command.Parameters.Add(new() { Value = signed.Signed.ToUniversalTime(), NpgsqlDbType = NpgsqlDbType.TimestampTz });
        await command.ExecuteNonQueryAsync(ct);
    }
}

/// <summary>Another node publishes: this one leads no more, and starts again before it may.</summary>
public sealed class OutOfTurn() : IOException("Another node has published since this one last did.");
