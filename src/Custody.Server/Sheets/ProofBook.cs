using Custody.Bats;
using Custody.Server.Cosigning;
using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Server.Stamping;
using Npgsql;
using NpgsqlTypes;

namespace Custody.Server.Sheets;

/// <summary>How far the outside can vouch for one entry.</summary>
/// <param name="Index">Its place in the log.</param>
/// <param name="Checkpoint">Size of the first checkpoint published over it; null while none is.</param>
/// <param name="Cosigned">A tree that holds it is cosigned as the policy asks.</param>
/// <param name="Stamped">A tree that holds it bears a time stamp.</param>
public sealed record ProofState(long Index, long? Checkpoint, bool Cosigned, bool Stamped);

/// <summary>Says for every entry of a stream how it stands in the log, in one question to the database.</summary>
public sealed class ProofBook(NpgsqlDataSource database, LedgerPlace place, Cosigners cosigners, Stamper stamper, TimeProvider clock)
{
    static readonly TimeSpan Fresh = TimeSpan.FromSeconds(5);

    // Farther back than this nobody looks for a tree that is cosigned by enough.
    const int MostLooked = 8;

    sealed record VouchedFor(DateTimeOffset Read, long Cosigned, long Stamped);

    VouchedFor? outside;

    /// <summary>By entry number; an entry that waits for its place in the log is not there.</summary>
    public async Task<IReadOnlyDictionary<long, ProofState>> Of(StreamName stream, CancellationToken ct)
    {
        var (cosigned, stamped) = Outside();
        await using var command = database.CreateCommand(
            $"""
            select l.n, l.index, (select min(c.size) from {place.Schema}.custody_checkpoint c where c.size > l.index)
            from {place.Schema}.custody_leaf l where l.stream = $1
            """);
        command.Parameters.Add(new() { Value = stream.ToString(), NpgsqlDbType = NpgsqlDbType.Text });
        Dictionary<long, ProofState> found = [];
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct))
        {
            var index = reader.GetInt64(1);
            found.Add(reader.GetInt64(0), new(index, reader.IsDBNull(2) ? null : reader.GetInt64(2), index < cosigned, index < stamped));
        }
        return found;
    }

    /// <summary>Sizes of the largest trees that others vouch for; they stand as files and are looked up a few times a minute, not for every reader.</summary>
    (long Cosigned, long Stamped) Outside()
    {
        var now = clock.GetUtcNow();
        if (outside is { } known && now - known.Read < Fresh) return (known.Cosigned, known.Stamped);
        var cosigned = cosigners.Sizes().Reverse().Take(MostLooked).FirstOrDefault(cosigners.HasQuorum);
        var stamped = stamper.Sizes() is [.., var last] ? last : 0;
        outside = new(now, cosigned, stamped);
        return (cosigned, stamped);
    }
}
