using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Photographs;
using Custody.Server.Private;
using Custody.Server.Recording;
using Custody.Transparency;
using Marten;
using Npgsql;
using NpgsqlTypes;

namespace Custody.Server.Labels;

/// <summary>Finds what the page behind a label's address shows: the entry that issued it, and what is public of its bat.</summary>
public sealed class LabelPages(
    NpgsqlDataSource database, LedgerPlace place, Histories histories, WithheldValues withheld, Restrictions restrictions, KeyRing keys, IDocumentStore store,
    PictureStores pictures, TimeProvider clock)
{
    /// <summary>What a token names.</summary>
    /// <param name="Found">The label's page; null when this ledger issued no such label.</param>
    /// <param name="Twice">Two entries begin with it, which must not happen.</param>
    public sealed record Named(LabelView? Found, bool Twice);

    /// <param name="bits">The 16 bytes that stand on the label.</param>
    public async Task<Named> Find(byte[] bits, CancellationToken ct)
    {
        var entries = await EntriesOf(bits, ct);
        if (entries.Count > 1) return new(null, Twice: true);
        if (entries is not [var (stream, n)] || stream.Kind != "bat") return new(null, Twice: false);
        var history = await histories.Load(stream, ct);
        if (EntryCodec.Read(history.Bytes[(int)n - 1]).Fact is not LabelIssued) return new(null, Twice: false);
        var reading = History.Of(await Public(history, ct)).AsCorrected();
        return new(new(reading, n, Crockford.Encode(bits), place.Origin, clock.GetUtcNow(), await Kept(reading, ct)), Twice: false);
    }

    async Task<List<(StreamName Stream, long N)>> EntriesOf(byte[] bits, CancellationToken ct)
    {
        await using var command = database.CreateCommand($"select stream, n from {place.Schema}.custody_leaf where substring(hash from 1 for 16) = $1 limit 2");
        command.Parameters.Add(new() { Value = bits, NpgsqlDbType = NpgsqlDbType.Bytea });
        List<(StreamName, long)> found = [];
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct)) found.Add((StreamName.Parse(reader.GetString(0)), reader.GetInt64(1)));
        return found;
    }

    /// <summary>The entries with what is public of them filled in, and nothing else: what is not here cannot reach the page.</summary>
    async Task<IReadOnlyList<Entry>> Public(StoredHistory history, CancellationToken ct)
    {
        var restricted = await restrictions.Keys(ct);
        var values = (await withheld.Of(history.Stream, ct)).Where(v => !restricted.Contains(v.KeyId)).ToList();
        var shown = Open(history, values);
        var (kinds, terms) = (await Kinds(shown, ct), await Terms(shown, ct));
        var places = PublicPolicy.Of(
            shown, party => kinds.TryGetValue(party, out var kind) && !restricted.Contains(keys.IdOf(party.ToString())) ? kind : null, terms.GetValueOrDefault);
        return Open(history, values.Where(v => places.Contains(new(v.N, v.Pointer, v.Name))));
    }

    static List<Entry> Open(StoredHistory history, IEnumerable<ShownValue> values)
    {
        var byEntry = values.ToLookup(v => v.N, v => v.Disclosure);
        return [.. history.Bytes.Select((b, i) => EntryCodec.Read(b, byEntry[i + 1]))];
    }

    async Task<Dictionary<PartyId, PartyKind>> Kinds(IEnumerable<Entry> shown, CancellationToken ct)
    {
        var parties = shown.SelectMany(e => e.Fact.Parties?.Values.Select(p => p.PartyStream?.Value) ?? []).OfType<string>().Distinct().ToArray();
        await using var session = store.QuerySession();
        return (await session.LoadManyAsync<PartyState>(ct, parties)).ToDictionary(p => PartyId.Parse(p.Id), p => p.Kind);
    }

    async Task<Dictionary<Reference, ISaleTerms>> Terms(IEnumerable<Entry> shown, CancellationToken ct)
    {
        Dictionary<Reference, ISaleTerms> terms = [];
        foreach (var reference in shown.Select(e => (e.Fact as BatSold)?.Terms).OfType<Reference>().Where(r => r.Ledger is null || r.Ledger == place.Origin).Distinct())
        {
            var entries = await histories.Open(reference.Stream, ct);
            if (reference.N <= entries.Count && entries[(int)reference.N - 1] is { Fact: ISaleTerms found } entry && entry.Hash == reference.Hash) terms[reference] = found;
        }
        return terms;
    }

    async Task<IReadOnlySet<PictureHash>> Kept(Reading reading, CancellationToken ct)
    {
        HashSet<PictureHash> kept = [];
        foreach (var picture in BatInHand.Of(reading).Views.Select(v => v.Picture).Distinct())
            if (Hash.TryParse(picture.Text, out var hash) && await pictures.Released.Has(ContentHash.FromDigest(hash.ToArray()), ct)) kept.Add(picture);
        return kept;
    }
}
