using System.Security.Cryptography;
using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Log;
using Custody.Server.Private;
using Custody.Server.Recording;
using Custody.Transparency;
using Marten;
using Npgsql;
using NpgsqlTypes;
using SessionOptions = Marten.Services.SessionOptions;

namespace Custody.Server.Restoring;

/// <summary>What was recovered.</summary>
/// <param name="Gone">Entries of known streams of which hash and place came back.</param>
/// <param name="Found">Entries that were still there, and have their leaf again.</param>
/// <param name="Kept">Entries that changed the log's key, from where they are kept beside it.</param>
/// <param name="Unnamed">Records that belong to no stream the database knows.</param>
public sealed record Recovered(long First, long Last, IReadOnlyList<(string Stream, long N)> Gone, long Found, long Kept, long Unnamed);

/// <summary>Takes the lost records back from the tiles, names the streams by tag, and records that it was so (<c>LedgerRestored</c>): in one transaction, so
/// that a crash leaves the database as it was. The streams go on after the lost entries, with the lost hash as what comes before.</summary>
public sealed class Recovery(
    LedgerPlace place, NpgsqlDataSource database, IDocumentStore store, Leaves leaves, TileFolder tiles, Checkpoints checkpoints, Histories histories,
    WithheldValues withheld, KeyEntries keyEntries, TimeProvider clock)
{
    /// <param name="circumstances">What happened, for the house's own record; withheld.</param>
    /// <exception cref="LogFault">Nothing is lost, another process sequences, or what is left does not fit what was published.</exception>
    public async Task<Recovered> Run(string? circumstances, CancellationToken ct)
    {
        await using var connection = await Store.OpenOutsideThePool(place.ConnectionString, ct);
        if (!await Sequencer.TryLead(connection, place, ct)) throw new LogFault("sequencing-elsewhere", "Another process sequences this ledger. Stop the server, then recover.");
        var lost = await new LostTail(place, database, leaves, tiles, checkpoints).Find(ct);
        await checkpoints.PutBack(await leaves.Size(ct), ct);
        await using var transaction = await connection.BeginTransactionAsync(ct);
        await using var session = store.LightweightSession(SessionOptions.ForTransaction(transaction));
        var gone = lost.Where(l => l is { Stream: not null, SeqId: null }).ToList();
        // Where every entry was still there and only its leaf was missing, nothing was lost that anybody must be told of.
        if (lost.Any(l => l.SeqId is null)) await Tell(lost, gone, circumstances, session, ct);
        await session.SaveChangesAsync(ct);
        await PutLeaves(connection, lost, ct);
        await transaction.CommitAsync(ct);
        var kept = gone.RemoveAll(g => Kept(g) is not null);
        return new(lost[0].Index, lost[^1].Index, [.. gone.Select(g => (g.Stream!, g.N))], lost.Count(l => l.SeqId is not null), kept, lost.Count(l => l.Stream is null));
    }

    byte[]? Kept(LostRecord lost) => lost.Stream!.StartsWith("ledger/", StringComparison.Ordinal) ? keyEntries.Of(lost.N, lost.Record.Entry) : null;

    byte[] Line(LostRecord lost, Reference why) => Kept(lost) ?? new Gone(lost.N, lost.Record.Entry.Text, why).ToLine();

    async Task Tell(IReadOnlyList<LostRecord> lost, List<LostRecord> gone, string? circumstances, IDocumentSession session, CancellationToken ct)
    {
        var (restored, line) = await Told(lost, gone, circumstances, session, ct);
        foreach (var one in gone)
        {
            var stream = StreamName.Parse(one.Stream!);
            StreamKind.Of(stream).AppendLine(session, stream, Line(one, restored.Reference));
        }
        StreamKind.Of(restored.Envelope.Stream).AppendLine(session, restored.Envelope.Stream, line);
    }

    /// <summary>The entry that says so, at the end of the ledger's own stream, after what that stream lost itself.</summary>
    async Task<(Entry, byte[])> Told(IReadOnlyList<LostRecord> lost, List<LostRecord> gone, string? circumstances, IDocumentSession session, CancellationToken ct)
    {
        var own = (await histories.All("ledger", ct))[0];
        var history = await histories.Load(own, ct);
        // Why is not known before this entry is, and the fold does not ask for it.
        var why = EntryCodec.Read(history.Bytes[0]).Reference;
        var state = (LedgerState)StreamKind.Of(own).Fold(own, [.. history.Bytes, .. gone.Where(g => g.Stream == own.ToString()).Select(g => Line(g, why))])!;
        var now = DateTimeOffset.FromUnixTimeSeconds(clock.GetUtcNow().ToUnixTimeSeconds());
        Envelope at = new(place.Origin, Decisions.LatestRules, own, state.N + 1, state.Head, now > state.Recorded ? now : state.Recorded, null, null);
        var (first, last) = (lost.First(l => l.SeqId is null).Index, lost.Last(l => l.SeqId is null).Index);
        var fact = new RecordRestore(first, last, circumstances) { By = PartyId.Ledger }.Produce(state, null!)[0];
        var written = EntryCodec.Write(at, fact, RandomNumberGenerator.Fill);
        var entry = new Entry(at, fact, written.Hash);
        if (Decisions.Permit(state, entry, NothingCited.Here) is [var refusal, ..]) throw new LogFault(refusal.Code, $"{refusal.Sentence} {refusal.Remedy}");
        withheld.Put(session, entry, written.Withheld, _ => null);
        return (entry, written.Bytes);
    }

    async Task PutLeaves(NpgsqlConnection connection, IReadOnlyList<LostRecord> lost, CancellationToken ct)
    {
        await using var command = new NpgsqlCommand(
            $"""
            insert into {place.Schema}.custody_leaf (index, seq_id, stream, n, hash, tag)
            select t.index, e.seq_id, t.stream, t.n, t.hash, t.tag
            from unnest($1, $2, $3, $4, $5) as t(index, stream, n, hash, tag)
            left join {place.Schema}.mt_events e on e.stream_id = t.stream and e.version = t.n;
            """, connection);
        Add(command, NpgsqlDbType.Bigint, lost.Select(l => l.Index));
        Add(command, NpgsqlDbType.Text, lost.Select(l => l.Stream));
        Add(command, NpgsqlDbType.Bigint, lost.Select(l => l.Stream is null ? (long?)null : l.N));
        Add(command, NpgsqlDbType.Bytea, lost.Select(l => l.Record.Entry.ToArray()));
        Add(command, NpgsqlDbType.Bytea, lost.Select(l => l.Record.Slot.ToArray()));
        await command.ExecuteNonQueryAsync(ct);
        // They have their places again; only the entry that says so waits for one.
        await using var done = new NpgsqlCommand(
            $"delete from {place.Schema}.custody_pending p where exists (select from {place.Schema}.custody_leaf l where l.seq_id = p.seq_id)", connection);
        await done.ExecuteNonQueryAsync(ct);
    }

    static void Add<T>(NpgsqlCommand command, NpgsqlDbType type, IEnumerable<T> values) =>
        command.Parameters.Add(new() { Value = values.ToArray(), NpgsqlDbType = NpgsqlDbType.Array | type });
}

/// <summary>Where nothing can be cited.</summary>
sealed class NothingCited : ICited
{
    public static readonly NothingCited Here = new();

    public Entry? Find(Reference reference) => null;
}
