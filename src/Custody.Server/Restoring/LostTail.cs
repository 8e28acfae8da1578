using System.Globalization;
using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Transparency;
using Npgsql;

namespace Custody.Server.Restoring;

/// <summary>One record that was published and has no leaf any more.</summary>
/// <param name="Stream">Its stream, found by its slot tag; null when it belongs to none that the database knows.</param>
/// <param name="SeqId">The event that is still there, recorded before the database was copied and not yet in the log then; null when that is lost too.</param>
sealed record LostRecord(long Index, LogRecord Record, string? Stream, long N, long? SeqId);

/// <summary>What a database lost that was restored to an older state: the records of the published tiles beyond its leaves, named by tag.</summary>
sealed class LostTail(LedgerPlace place, NpgsqlDataSource database, Leaves leaves, TileFolder tiles, Checkpoints checkpoints)
{
    /// <exception cref="LogFault">Nothing is lost; or what is left is not the beginning of what was published, so that nothing can be recovered into it.</exception>
    public async Task<IReadOnlyList<LostRecord>> Find(CancellationToken ct)
    {
        var last = checkpoints.LastOutside() ?? throw new LogFault("nothing-lost", "Nothing was ever signed, so nothing published is lost.");
        var size = await leaves.Size(ct);
        if (size >= last.Size) throw new LogFault("nothing-lost", $"The database has every leaf of the last signed checkpoint (size {last.Size}). There is nothing to recover.");
        if (Root(last.Size) != last.Root)
            throw new LogFault("log-root", $"The tiles do not give the root of the last signed checkpoint (size {last.Size}). Bring the folder of the log back first.");
        await HoldAgainstTiles(size, last.Size, ct);
        var names = await Names(ct);
        var waiting = await Waiting(ct);
        List<LostRecord> lost = [];
        LogRecord[] bundle = [];
        for (var index = size; index < last.Size; index++)
        {
            if (index == size || index % Tile.FullWidth == 0) bundle = tiles.Bundle(index, last.Size);
            var record = bundle[(int)(index % Tile.FullWidth)];
            if (!names.Remove(record.Slot, out var name))
            {
                lost.Add(new(index, record, null, 0, null));
                continue;
            }
            names[SlotTag.Compute(place.Origin, name.Stream, name.N + 1)] = name with { N = name.N + 1 };
            lost.Add(new(index, record, name.Stream, name.N, Same(waiting, name, record)));
        }
        return lost;
    }

    Hash Root(long size)
    {
        try
        {
            return Merkle.Root(size, tiles.Hashes(size));
        }
        catch (Exception missing) when (missing is FileNotFoundException or DirectoryNotFoundException)
        {
            throw new LogFault("tiles-missing", $"Tiles of the last signed checkpoint (size {size}) are not here. Bring them: from the lost machine's folder of the log, or from whoever followed the log.");
        }
    }

    async Task HoldAgainstTiles(long size, long signed, CancellationToken ct)
    {
        for (var from = 0L; from < size; from += Tile.FullWidth)
        {
            var to = Math.Min(from + Tile.FullWidth, size);
            if (!(await leaves.Records(from, to, ct)).AsSpan().SequenceEqual(tiles.Bundle(from, signed).AsSpan(0, (int)(to - from))))
                throw new LogFault("log-other", $"The leaves from {from} on are others in the database than in the tiles. It is no older state of this ledger: bring the right copy; 'audit' names the rows.");
        }
    }

    record struct Place(string Stream, long N);

    /// <summary>The next place of every stream, by its tag.</summary>
    async Task<Dictionary<Hash, Place>> Names(CancellationToken ct)
    {
        Dictionary<Hash, Place> names = [];
        await using var command = database.CreateCommand(
            $"select s.id, coalesce((select max(l.n) from {place.Schema}.custody_leaf l where l.stream = s.id), 0) + 1 from {place.Schema}.mt_streams s");
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct))
        {
            Place next = new(reader.GetString(0), reader.GetInt64(1));
            names[SlotTag.Compute(place.Origin, next.Stream, next.N)] = next;
        }
        return names;
    }

    /// <summary>Events that have no leaf: recorded before the copy was made, or since.</summary>
    async Task<Dictionary<Place, (long SeqId, Hash Hash)>> Waiting(CancellationToken ct)
    {
        Dictionary<Place, (long, Hash)> waiting = [];
        await using var command = database.CreateCommand(
            $"select e.stream_id, e.version, e.seq_id, sha256(e.bdata) from {place.Schema}.mt_events e where not exists (select from {place.Schema}.custody_leaf l where l.seq_id = e.seq_id)");
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct)) waiting.Add(new(reader.GetString(0), reader.GetInt64(1)), (reader.GetInt64(2), Hash.FromBytes(reader.GetFieldValue<byte[]>(3))));
        return waiting;
    }

    static long? Same(Dictionary<Place, (long SeqId, Hash Hash)> waiting, Place name, LogRecord record)
    {
        if (!waiting.TryGetValue(name, out var there)) return null;
        return there.Hash == record.Entry ? there.SeqId
            : throw new LogFault("recorded-since", string.Create(CultureInfo.InvariantCulture,
                $"Entry {name.N} of {name.Stream} was recorded after the restore and takes the place of a published one. Restore the copy again and record nothing before recovering."));
    }
}
