using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Log;
using Custody.Server.Private;
using Custody.Server.Recording;
using Custody.Transparency;
using Marten;
using Npgsql;
using SessionOptions = Marten.Services.SessionOptions;
using WithheldValue = Custody.Ledger.WithheldValue;

namespace Custody.Server.Restoring;

/// <summary>What came back from a dossier.</summary>
/// <param name="Entries">Entries that were gone and stand in their places again.</param>
/// <param name="Values">Withheld values that the dossier showed of them.</param>
/// <param name="Others">Entries of the dossier whose place holds another hash in this log: two histories.</param>
public sealed record PutBack(IReadOnlyList<(string Stream, long N)> Entries, long Values, IReadOnlyList<(string Stream, long N)> Others);

/// <summary>Puts entries back that a restore lost and someone's dossier still has. The log decides what fits: an entry whose hash stands at its place is the
/// one that was lost, whoever brings it.</summary>
public sealed class PuttingBack(LedgerPlace place, IDocumentStore store, Histories histories, WithheldValues withheld, KeyRing keys)
{
    sealed record Leaf(long Index, long? SeqId, Hash Hash);

    sealed record Found(Entry Entry, byte[] Bytes, Leaf Leaf);

    /// <exception cref="LogFault">A stream could not be folded with what would come back; nothing was changed.</exception>
    public async Task<PutBack> Run(DossierContent dossier, CancellationToken ct)
    {
        await using var connection = await Store.OpenOutsideThePool(place.ConnectionString, ct);
        await using var transaction = await connection.BeginTransactionAsync(ct);
        await using var session = store.LightweightSession(SessionOptions.ForTransaction(transaction));
        List<(string, long)> others = [];
        var found = await Fitting(connection, dossier, others, ct);
        var shown = dossier.Disclosures is { } file ? DisclosuresFile.Read(file.Span).ToLookup(s => (s.Stream, s.N), s => s.Disclosure) : null;
        List<(string, long)> back = [];
        var values = 0L;
        foreach (var stream in found.GroupBy(f => f.Entry.Envelope.Stream))
        {
            var put = await PutStream(connection, session, stream.Key, [.. stream.OrderBy(f => f.Entry.N)], ct);
            back.AddRange(put.Select(f => (stream.Key.ToString(), f.Entry.N)));
            foreach (var one in put) values += PutValues(session, one, shown?[(stream.Key.ToString(), one.Entry.N)] ?? []);
        }
        await session.SaveChangesAsync(ct);
        if (found.Count > 0) await FindAgain(connection, found.Min(f => f.Leaf.Index), ct);
        await transaction.CommitAsync(ct);
        // Made again after the commit: until then 'rebuild' would make the same.
        foreach (var stream in found.Select(f => f.Entry.Envelope.Stream).Distinct()) await StreamKind.Of(stream).Rebuild(store, stream, ct);
        return new(back, values, others);
    }

    // The search follows the log: it goes back to where something came in again.
    async Task FindAgain(NpgsqlConnection connection, long index, CancellationToken ct)
    {
        await using var command = new NpgsqlCommand($"update {place.Schema}.custody_search_progress set size = least(size, $1)", connection);
        command.Parameters.Add(new() { Value = index });
        await command.ExecuteNonQueryAsync(ct);
    }

    async Task<List<Found>> Fitting(NpgsqlConnection connection, DossierContent dossier, List<(string, long)> others, CancellationToken ct)
    {
        List<Found> found = [];
        foreach (var line in dossier.Parts.SelectMany(p => HistoryLines.Read(p.History ?? default).Lines.Concat(HistoryLines.Read(p.Context ?? default).Lines)))
        {
            if (line.Entry is not { } entry || entry.Envelope.Ledger != place.Origin) continue;
            if (await LeafOf(connection, SlotTag.Compute(place.Origin, entry.Envelope.Stream.ToString(), entry.N), ct) is not { } leaf) continue;
            if (leaf.Hash.Text == entry.Hash) found.Add(new(entry, line.Bytes.ToArray(), leaf));
            else others.Add((entry.Envelope.Stream.ToString(), entry.N));
        }
        return found;
    }

    async Task<Leaf?> LeafOf(NpgsqlConnection connection, Hash tag, CancellationToken ct)
    {
        await using var command = new NpgsqlCommand($"select index, seq_id, hash from {place.Schema}.custody_leaf where tag = $1", connection);
        command.Parameters.Add(new() { Value = tag.ToArray() });
        await using var reader = await command.ExecuteReaderAsync(ct);
        return await reader.ReadAsync(ct) ? new(reader.GetInt64(0), reader.IsDBNull(1) ? null : reader.GetInt64(1), Hash.FromBytes(reader.GetFieldValue<byte[]>(2))) : null;
    }

    async Task<IReadOnlyList<Found>> PutStream(NpgsqlConnection connection, IDocumentSession session, StreamName stream, List<Found> found, CancellationToken ct)
    {
        var lines = (await histories.Load(stream, ct)).Bytes.ToList();
        return lines.Count == 0 ? await Begin(connection, session, stream, found, ct) : await Replace(connection, stream, lines, found, ct);
    }

    /// <summary>A stream that is there with lines for what is gone. The database itself lets nothing but the logged bytes take such a line's place.</summary>
    async Task<IReadOnlyList<Found>> Replace(NpgsqlConnection connection, StreamName stream, List<byte[]> lines, List<Found> found, CancellationToken ct)
    {
        var back = found.Where(f => Gone.IsOne(lines[(int)f.Entry.N - 1])).ToList();
        foreach (var one in back) lines[(int)one.Entry.N - 1] = one.Bytes;
        TryFold(stream, lines);
        foreach (var one in back)
        {
            await using var command = new NpgsqlCommand($"update {place.Schema}.mt_events set bdata = $1 where seq_id = $2", connection);
            command.Parameters.Add(new() { Value = one.Bytes });
            command.Parameters.Add(new() { Value = one.Leaf.SeqId!.Value });
            await command.ExecuteNonQueryAsync(ct);
        }
        return back;
    }

    /// <summary>A stream that the database had lost altogether: its name comes from the dossier, and every record with one of its tags gets it.</summary>
    async Task<IReadOnlyList<Found>> Begin(NpgsqlConnection connection, IDocumentSession session, StreamName stream, List<Found> found, CancellationToken ct)
    {
        List<(byte[] Line, Leaf Leaf)> lines = [];
        for (var n = 1L; await LeafOf(connection, SlotTag.Compute(place.Origin, stream.ToString(), n), ct) is { SeqId: null } leaf; n++)
            lines.Add((found.Find(f => f.Entry.N == n)?.Bytes ?? new Gone(n, leaf.Hash.Text, await Why(leaf.Index, ct)).ToLine(), leaf));
        TryFold(stream, lines.ConvertAll(l => l.Line));
        foreach (var (line, _) in lines) StreamKind.Of(stream).AppendLine(session, stream, line);
        await session.SaveChangesAsync(ct);
        for (var i = 0; i < lines.Count; i++)
        {
            await using var command = new NpgsqlCommand(
                $"""
                update {place.Schema}.custody_leaf set stream = $1, n = $2, seq_id = (select seq_id from {place.Schema}.mt_events where stream_id = $1 and version = $2) where index = $3
                """, connection);
            command.Parameters.Add(new() { Value = stream.ToString() });
            command.Parameters.Add(new() { Value = i + 1L });
            command.Parameters.Add(new() { Value = lines[i].Leaf.Index });
            await command.ExecuteNonQueryAsync(ct);
        }
        await using var done = new NpgsqlCommand(
            $"delete from {place.Schema}.custody_pending p where exists (select from {place.Schema}.custody_leaf l where l.seq_id = p.seq_id)", connection);
        await done.ExecuteNonQueryAsync(ct);
        return found.FindAll(f => f.Entry.N <= lines.Count);
    }

    /// <summary>The restore that lost the record at this index.</summary>
    async Task<Reference> Why(long index, CancellationToken ct)
    {
        foreach (var own in await histories.All("ledger", ct))
            foreach (var entry in await histories.Open(own, ct))
                if (entry.Fact is LedgerRestored restored && index >= restored.FirstIndex && index <= restored.LastIndex) return entry.Reference;
        throw new LogFault("not-lost", $"No restore says that the record at index {index} was lost. 'audit' tells more.");
    }

    static void TryFold(StreamName stream, List<byte[]> lines)
    {
        try
        {
            StreamKind.Of(stream).Fold(stream, lines);
        }
        catch (Exception unfit) when (unfit is InvalidOperationException or KeyNotFoundException or ArgumentException or NullReferenceException or IndexOutOfRangeException)
        {
            throw new LogFault("put-back-unfit", $"What was recorded on {stream} since cannot be read together with what would come back. Nothing was changed; keep the dossier.");
        }
    }

    /// <summary>Values that the dossier showed. What names a party comes back only under that party's own key, so that an erasure reaches it.</summary>
    int PutValues(IDocumentSession session, Found found, IEnumerable<string> disclosures)
    {
        List<WithheldValue> values = [];
        var (_, places) = EntryCodec.Open(EntryForm.Read(found.Bytes), disclosures);
        foreach (var text in disclosures)
        {
            var (shown, digest) = (Disclosure.Parse(text), Disclosure.Digest(text));
            var pointer = places.First(p => p.Digest == digest).Pointer;
            // Of a party's introduction nothing is taken: which key it belongs under is what was lost.
            if (pointer.StartsWith("/body/parties", StringComparison.Ordinal) || keys.KeyOf(found.Entry.Envelope.Stream.ToString()) is null) continue;
            values.Add(new(pointer, shown.Name, shown.Salt, shown.Value, digest, text, null));
        }
        withheld.Put(session, found.Entry, values, _ => null);
        return values.Count;
    }
}
