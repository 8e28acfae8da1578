using System.Globalization;
using System.Text;
using Custody.Ledger;
using Custody.Server.Recording;
using Custody.Transparency;
using Npgsql;
using NpgsqlTypes;

namespace Custody.Server.Cosigning;

/// <summary>What a cosigner answers: the status, and a body where there is one.</summary>
public sealed record CosignAnswer(int Status, string? Body = null, string Type = "text/plain; charset=utf-8");

/// <summary>Cosigns for other ledgers (c2sp.org/tlog-witness). What was cosigned last stands in the database, read and replaced in one transaction under a lock
/// of the origin: two requests at once, or a crash, can never roll it back; all that was cosigned before stays beside it. The cosignature is given only after the commit.</summary>
public sealed class CosignDesk(NpgsqlDataSource database, LedgerPlace place, CosignSettings settings, CosignerKey ownKey, TimeProvider clock)
{
    /// <summary>Most requests kept of one ledger that convict it: only its own key can make them.</summary>
    const int MostForks = 10_000;

    /// <summary>Most requests kept of one ledger whose proof leads nowhere. Anybody can send an honest checkpoint with such a proof, so these never take the room
    /// of those that convict.</summary>
    const int MostOthers = 100;

    /// <summary>Answers an add-checkpoint request.</summary>
    /// <exception cref="Malformed">The keeper's own policy cannot be read.</exception>
    /// <exception cref="Log.LogFault">The cosigner's key cannot be used.</exception>
    public async Task<CosignAnswer> Answer(ReadOnlyMemory<byte> body, CancellationToken ct)
    {
        using var key = ownKey.Open();
        var policy = settings.Now();
        if (key is null) return new(StatusCodes.Status404NotFound);
        AddCheckpoint request;
        CosignDecision alone;
        try
        {
            request = AddCheckpoint.Parse(body.Span);
            alone = CosignRules.Decide(request, Trusted, null);
        }
        catch (Malformed malformed)
        {
            return new(StatusCodes.Status400BadRequest, malformed.Sentence + "\n");
        }
        // What is not the word of a ledger that is cosigned here costs no transaction.
        if (alone.Status is CosignStatus.UnknownOrigin or CosignStatus.NotSigned) return new((int)alone.Status);
        var origin = alone.Checkpoint!.Origin;
        await using var connection = await database.OpenConnectionAsync(ct);
        await using var transaction = await connection.BeginTransactionAsync(ct);
        await Lock(connection, origin, ct);
        var latest = await Latest(connection, origin, ct);
        var decision = CosignRules.Decide(request, Trusted, latest?.Checkpoint);
        var now = clock.GetUtcNow();
        var denied = decision.IsFork ? latest : await Denied(connection, decision.Checkpoint!, request, policy, ct);
        // A tree that denies anything cosigned before is cosigned by nobody here, however well it goes on from the last.
        var line = denied is null && decision.Status == CosignStatus.Cosign ? key.Cosign(request.Checkpoint.TextBytes, now.ToUnixTimeSeconds()) : null;
        if (line is not null) await Remember(connection, decision.Checkpoint!, request.Checkpoint.With(line), now, ct);
        else if (denied is not null) await KeepEvidence(connection, origin, denied.Note, request, MostForks, ct);
        else if (latest is not null && decision.Status == CosignStatus.NotConsistent) await KeepEvidence(connection, origin, latest.Note, request, MostOthers, ct);
        await transaction.CommitAsync(ct);
        return decision.Status switch
        {
            CosignStatus.Cosign when line is not null => new(StatusCodes.Status200OK, line.Line + "\n"),
            CosignStatus.Cosign or CosignStatus.Conflict =>
                new(StatusCodes.Status409Conflict, string.Create(CultureInfo.InvariantCulture, $"{latest?.Checkpoint.Size ?? 0}\n"), AddCheckpoint.SizeType),
            var other => new((int)other),
        };

        // Nobody vouches for oneself.
        IReadOnlyList<VerifierKey> Trusted(string name) => name == place.Origin ? [] : KeysOf(policy, name);
    }

    static VerifierKey[] KeysOf(CosignPolicy policy, string origin) => [.. policy.Logs.Select(l => l.Key).Where(k => k.Name == origin)];

    /// <summary>The checkpoint cosigned last for a ledger, with this cosigner's line under it; null when there is none.</summary>
    public async Task<byte[]?> Last(string originHex, CancellationToken ct)
    {
        await using var command = database.CreateCommand($"select note from {place.Schema}.custody_cosigned where encode(sha256(convert_to(origin, 'UTF8')), 'hex') = $1");
        command.Parameters.Add(new() { Value = originHex, NpgsqlDbType = NpgsqlDbType.Text });
        return await command.ExecuteScalarAsync(ct) is string note ? Encoding.UTF8.GetBytes(note) : null;
    }

    /// <summary>Evidence kept against ledgers, oldest first.</summary>
    public async Task<IReadOnlyList<ForkEvidence>> Evidence(CancellationToken ct)
    {
        await using var command = database.CreateCommand($"select origin, seen, cosigned, request from {place.Schema}.custody_fork order by seen, origin");
        List<ForkEvidence> found = [];
        var policy = settings.Now();
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct))
        {
            var (origin, cosigned, request) = (reader.GetString(0), reader.GetString(2), AddCheckpoint.Parse(reader.GetFieldValue<byte[]>(3)));
            found.Add(new(origin, reader.GetFieldValue<DateTimeOffset>(1), cosigned, request, MisconductSearch.Refused(KeysOf(policy, origin), cosigned, request)));
        }
        return found;
    }

    static async Task Lock(NpgsqlConnection connection, string origin, CancellationToken ct)
    {
        // A row can only be locked once it is there; this lock serves the first request of a ledger too.
        await using var command = new NpgsqlCommand("select pg_advisory_xact_lock(hashtextextended($1, 7))", connection);
        command.Parameters.Add(new() { Value = "custody-cosign\n" + origin });
        await command.ExecuteNonQueryAsync(ct);
    }

    sealed record Cosigned(Checkpoint Checkpoint, string Note);

    async Task<Cosigned?> Latest(NpgsqlConnection connection, string origin, CancellationToken ct)
    {
        await using var command = new NpgsqlCommand($"select note from {place.Schema}.custody_cosigned where origin = $1 for update", connection);
        command.Parameters.Add(new() { Value = origin });
        return await command.ExecuteScalarAsync(ct) is string note ? new(Checkpoint.Read(SignedNote.Parse(Encoding.UTF8.GetBytes(note))), note) : null;
    }

    /// <summary>A checkpoint cosigned before the last one that this request convicts together with: one of the same size, or the one its proof leads from.
    /// Only the last would not do: from a size that is a power of two a proof leaves the earlier root out (RFC 9162 section 2.1.4.2), so such a fork convicts when
    /// a second tree of any size cosigned before is shown.</summary>
    async Task<Cosigned?> Denied(NpgsqlConnection connection, Checkpoint shown, AddCheckpoint request, CosignPolicy policy, CancellationToken ct)
    {
        await using var command = new NpgsqlCommand($"select note from {place.Schema}.custody_cosigned_before where origin = $1 and size = any($2) order by size desc", connection);
        command.Parameters.Add(new() { Value = shown.Origin });
        command.Parameters.Add(new() { Value = new[] { shown.Size, request.Old } });
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct))
        {
            var note = SignedNote.Parse(Encoding.UTF8.GetBytes(reader.GetString(0)));
            if (KeysOf(policy, shown.Origin).Any(k => CosignRules.Convicts(k, note, request))) return new(Checkpoint.Read(note), reader.GetString(0));
        }
        return null;
    }

    async Task Remember(NpgsqlConnection connection, Checkpoint checkpoint, SignedNote note, DateTimeOffset now, CancellationToken ct)
    {
        await using var command = new NpgsqlCommand(
            $"""
            with kept as (insert into {place.Schema}.custody_cosigned_before (origin, size, note, cosigned) values ($1, $2, $3, $4) on conflict do nothing)
            insert into {place.Schema}.custody_cosigned (origin, size, note, cosigned) values ($1, $2, $3, $4)
            on conflict (origin) do update set size = excluded.size, note = excluded.note, cosigned = excluded.cosigned
            """, connection);
        command.Parameters.Add(new() { Value = checkpoint.Origin });
        command.Parameters.Add(new() { Value = checkpoint.Size });
        command.Parameters.Add(new() { Value = Encoding.UTF8.GetString(note.ToArray()) });
        command.Parameters.Add(new() { Value = now });
        await command.ExecuteNonQueryAsync(ct);
    }

    async Task KeepEvidence(NpgsqlConnection connection, string origin, string cosigned, AddCheckpoint request, int most, CancellationToken ct)
    {
        await using var command = new NpgsqlCommand(
            $"""
            insert into {place.Schema}.custody_fork (origin, seen, cosigned, request)
            select $1, $2, $3, $4 where (select count(*) from {place.Schema}.custody_fork where origin = $1) < $5
            on conflict do nothing
            """, connection);
        command.Parameters.Add(new() { Value = origin });
        command.Parameters.Add(new() { Value = clock.GetUtcNow() });
        command.Parameters.Add(new() { Value = cosigned });
        command.Parameters.Add(new() { Value = request.ToArray() });
        command.Parameters.Add(new() { Value = most });
        await command.ExecuteNonQueryAsync(ct);
    }
}
