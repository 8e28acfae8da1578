using System.Text;
using Custody.Transparency;

namespace Custody.Server.Log;

/// <summary>Order of release: leaves and tiles durable outside the database, then the checkpoint signed and kept. Heads, labels and dossiers come
/// only after, for entries under a published checkpoint.</summary>
public sealed class Publisher(Leaves leaves, TileFolder tiles, Checkpoints checkpoints, LogKeys keys, TimeProvider clock)
{
    /// <summary>Leaves between two checkpoints at the most, so that memory stays bounded when much has waited.</summary>
    const int MostAtOnce = 25_600;

    Frontier frontier = new();

    /// <summary>No checkpoint is dated before an earlier one, or before an entry under it: the clock may be set back between recording and publishing.</summary>
    DateTimeOffset latest;

    /// <summary>Size of the newest published checkpoint, as this process knows it.</summary>
    public long Published => frontier.Size;

    /// <summary>Holds the database against the last checkpoint signed, which stands outside it.</summary>
    /// <exception cref="LogFault">The database has fewer leaves, or others: it was restored to an older state, or changed. Nothing is sequenced.</exception>
    public async Task Start(CancellationToken ct)
    {
        var newest = await checkpoints.Newest(ct);
        latest = newest?.Signed ?? DateTimeOffset.MinValue;
        if (await HoldAgainstLast(ct) is not { } last)
        {
            frontier = new Frontier();
            return;
        }
        frontier = Frontier.Read(last.Size, tiles.Hashes(last.Size));
        if (newest is null || newest.Checkpoint.Size < last.Size || checkpoints.FileAt(last.Size) is null) await checkpoints.Mend(await Time(newest?.Checkpoint.Size ?? 0, last.Size, ct), ct);
    }

    /// <summary>Holds the database against the last checkpoint signed, and gives that; null before the first.</summary>
    /// <exception cref="LogFault">As <see cref="Start"/>; or the ledger came from a backup, and nobody outside was asked since.</exception>
    public async Task<Checkpoint?> HoldAgainstLast(CancellationToken ct)
    {
        var last = await Hold(ct);
        // The checkpoint beside a restored database may be as old as the database: it then says nothing about what was published since.
        if (checkpoints.IsUnconfirmed)
            throw new LogFault("restore-unconfirmed", "This ledger was brought back from a backup, and nobody outside was asked since whether more had been published than is here. "
                + "'restore confirm' asks. Until then nothing is recorded, so that no published place is given a second time.");
        return last;
    }

    /// <summary>The same, whether or not anybody outside was asked.</summary>
    /// <exception cref="LogFault">As <see cref="Start"/>.</exception>
    internal async Task<Checkpoint?> Hold(CancellationToken ct)
    {
        var last = checkpoints.LastOutside();
        if (last is null)
            return await checkpoints.Newest(ct) is not { } lost ? null
                : throw new LogFault("log-folder-lost", $"A checkpoint of size {lost.Checkpoint.Size} was signed, but the folder of the log is empty. Bring the folder back.");
        var size = await leaves.Size(ct);
        if (size < last.Size)
            throw new LogFault("log-shorter", $"The last signed checkpoint has {last.Size} leaves, the database {size}: it was restored to an older state and lost its tail. "
                + "Look for a newer copy of the database first. If there is none, 'restore recover' takes the lost records back from the tiles.");
        if (last.Size > 0) await HoldAgainst(last, ct);
        return last;
    }

    async Task HoldAgainst(Checkpoint last, CancellationToken ct)
    {
        if (Merkle.Root(last.Size, tiles.Hashes(last.Size)) != last.Root)
            throw new LogFault("log-root", $"The tiles do not give the root of the last signed checkpoint (size {last.Size}). Bring the folder of the log back.");
        var bundle = tiles.Bundle(last.Size - 1, last.Size);
        var rows = await leaves.Records((last.Size - 1) / Tile.FullWidth * Tile.FullWidth, last.Size, ct);
        if (!rows.AsSpan().SequenceEqual(bundle))
            throw new LogFault("log-other", $"The last leaves below the signed size {last.Size} are others in the database than in the tiles: it was restored to another state, or changed. Bring the right copy of the database back; 'audit' names the rows.");
    }

    /// <summary>Publishes what has been ordered since the last checkpoint.</summary>
    /// <returns>False when nothing was new.</returns>
    /// <exception cref="OutOfTurn">Another node has published since: this one no longer leads, and must start again before it may.</exception>
    public async Task<bool> Publish(CancellationToken ct)
    {
        var from = frontier.Size;
        var to = Math.Min(await leaves.Size(ct), from + MostAtOnce);
        if (to == from) return false;
        var first = from / Tile.FullWidth * Tile.FullWidth;
        var records = await leaves.Records(first, to, ct);
        tiles.Extend(from, to, records);
        // The frontier moves only with the checkpoint: a failure before it leaves the next try at the same size.
        var next = new Frontier(from, frontier.Roots);
        foreach (var record in records.AsSpan((int)(from - first))) next.Append(record.Leaf());
        var checkpoint = new Checkpoint(keys.Signer.Verifier.Name, to, next.Root());
        await checkpoints.Keep(new(checkpoint, Encoding.UTF8.GetString(checkpoint.Sign(keys.Signer).ToArray()), await Time(from, to, ct)), from, ct);
        frontier = next;
        tiles.Prune(from, to);
        return true;
    }

    async Task<DateTimeOffset> Time(long from, long to, CancellationToken ct)
    {
        foreach (var time in new[] { DateTimeOffset.FromUnixTimeSeconds(clock.GetUtcNow().ToUnixTimeSeconds()), await leaves.NewestRecorded(from, to, ct) })
            if (time > latest) latest = time;
        return latest;
    }
}
