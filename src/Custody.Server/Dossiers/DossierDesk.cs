using System.Security.Cryptography;
using System.Text;
using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Log;
using Custody.Server.Photographs;
using Custody.Server.Private;
using Custody.Server.Recording;
using Custody.Server.Stamping;
using Custody.Transparency;

namespace Custody.Server.Dossiers;

/// <summary>Gathers what a dossier needs, shows its owner what the reader will see, writes it, and records that it was handed out. Only entries
/// under a published checkpoint go in.</summary>
public sealed class DossierDesk(
    Histories histories, WithheldValues withheld, Restrictions restrictions, LogDesk log, TimedCheckpoints timed, PictureStores pictures, Recorder recorder, KeyRing keys, LedgerName ledger)
{
    static readonly TimeSpan LongestWait = TimeSpan.FromSeconds(30);

    /// <summary>A dossier that was written.</summary>
    /// <param name="KeyIds">Names of the keys under which the values it shows stand here: where one is destroyed, no copy of it may be kept.</param>
    public sealed record Written(string Path, long Entries, long Shown, long Withheld, long TreeSize, IReadOnlyList<string> KeyIds);

    /// <summary>What the reader of a dossier would see, with the fields it was chosen from.</summary>
    public sealed record Previewed(IReadOnlyList<WithheldField> Fields, DossierPreview Seen);

    sealed record Gathered(DossierRequest Request, IReadOnlyList<Entry> Entries, IReadOnlyList<ShownValue> Values, IReadOnlyList<ShownValue> Chosen, SignedCheckpoint At);

    /// <summary>Every field that the bat's owner can show or keep back, with the value.</summary>
    public async Task<IReadOnlyList<WithheldField>> Fields(Bat bat, CancellationToken ct)
    {
        var stream = StreamName.Parse(bat.Id);
        return await Fields(stream, await Values(stream, ct), Reveal.Nothing, ct);
    }

    /// <summary>Exactly what the reader would see: made by the code that writes the dossier. Nothing is written or recorded.</summary>
    internal async Task<(Previewed? Done, Refusal? Refused)> Preview(Bat bat, Reveal reveal, EarlierHistories earlier, CancellationToken ct)
    {
        var (gathered, refused) = await Gather(bat, reveal, earlier, ct);
        return gathered is null ? (null, refused)
            : (new(await Fields(StreamName.Parse(bat.Id), gathered.Values, reveal, ct), DossierWriter.Preview(gathered.Request)), null);
    }

    /// <summary>Writes <c>SHORTNUMBER.dossier.zip</c> into a folder: whole, or not at all.</summary>
    /// <param name="earlier">Histories of other ledgers that this one continues from.</param>
    /// <param name="issuedFor">Whom it is for; withheld.</param>
    internal async Task<(Written? Done, Refusal? Refused)> Write(
        Bat bat, Reveal reveal, EarlierHistories earlier, string folder, string? issuedFor, PartyId by, CancellationToken ct)
    {
        var (gathered, refused) = await Gather(bat, reveal, earlier, ct);
        if (gathered is not { Request: var request, At: var at }) return (null, refused);
        // What is gone can be cited by nobody, so the issue could not say what it is of.
        if (gathered.Entries[^1].Fact is EntryGone)
            return (null, new("last-entry-gone", "The last entry of this bat is gone, so it cannot be recorded what a dossier was issued of.",
                "Put it back from somebody's dossier (restore put-back), or record what is known of the bat now."));
        Directory.CreateDirectory(folder);
        var path = Path.Combine(folder, DossierWriter.FileName(request.ShortNumber));
        var digest = await WriteWhole(path, request, ct);
        await RecordIssue(gathered.Entries[^1], at, reveal, gathered.Chosen.Count, request.Photographs.Count, digest, issuedFor, by, ct);
        var shown = gathered.Chosen.Count;
        return (new(path, gathered.Entries.Count, shown, gathered.Values.Count - shown, at.Checkpoint.Size, [.. gathered.Chosen.Select(v => v.KeyId).Distinct().Order(StringComparer.Ordinal)]), null);
    }

    async Task<(Gathered? Done, Refusal? Refused)> Gather(Bat bat, Reveal reveal, EarlierHistories earlier, CancellationToken ct)
    {
        var stream = StreamName.Parse(bat.Id);
        var values = await Values(stream, ct);
        if (reveal.Unfitting([.. values.Select(PlaceOf)]) is { Count: > 0 } unknown)
            return (null, new("reveal-unknown", $"No entry of this bat withholds {string.Join(", ", unknown)}.",
                $"Choose from: all, {string.Join(", ", values.Select(v => v.Name).Distinct().Order(StringComparer.Ordinal))}; or one place, such as {values.Select(v => PlaceOf(v).Path).FirstOrDefault("1/description")}."));
        var history = await histories.Load(stream, ct);
        var entries = history.Entries();
        var newest = await log.Covering(bat.Id, entries.Count, LongestWait, ct);
        var at = await timed.Best(newest, (await log.IndexOf(entries[^1].Reference, ct) ?? newest.Checkpoint.Size) + 1, ct);
        var chosen = values.Where(v => reveal.Shows(PlaceOf(v))).ToList();
        var request = new DossierRequest(
            bat.Registration!.ShortNumber, await Own(history, entries, at, ct), earlier.Parts,
            [.. earlier.Shown, .. chosen.Select(v => new Shown(bat.Id, v.N, v.Pointer, v.Disclosure))],
            [.. (await Released(entries, ct)).Concat(earlier.Photographs).DistinctBy(p => p.Sha256).OrderBy(p => p.Sha256, StringComparer.Ordinal)],
            await Papers.Named(chosen, pictures.Documents, ct));
        return (new(request, entries, values, chosen, at), null);
    }

    /// <summary>What may be shown: nothing of someone whose data are restricted.</summary>
    async Task<IReadOnlyList<ShownValue>> Values(StreamName stream, CancellationToken ct)
    {
        var restricted = await restrictions.Keys(ct);
        return [.. (await withheld.Of(stream, ct)).Where(v => !restricted.Contains(v.KeyId))];
    }

    async Task<IReadOnlyList<WithheldField>> Fields(StreamName stream, IReadOnlyList<ShownValue> values, Reveal reveal, CancellationToken ct)
    {
        var byEntry = values.ToLookup(v => v.N, v => v.Disclosure);
        return WithheldFields.List((await histories.Load(stream, ct)).Entries(byEntry), reveal);
    }

    static WithheldPlace PlaceOf(ShownValue value) => new(value.N, value.Pointer, value.Name);

    async Task<LedgerContents> Own(StoredHistory history, IReadOnlyList<Entry> entries, SignedCheckpoint at, CancellationToken ct)
    {
        var context = await Context(entries, at, ct);
        Dictionary<long, ReadOnlyMemory<byte>> proofs = [];
        Dictionary<string, long> indexes = new(StringComparer.Ordinal);
        foreach (var entry in entries.Concat(context.Select(c => c.Entry)))
        {
            var proof = await log.ProofOf(entry.Reference, at, ct);
            proofs[proof.Index] = proof.ToArray();
            indexes[entry.Hash] = proof.Index;
        }
        return new LedgerContents(
            ledger.Origin, [.. history.Bytes.Select(b => (ReadOnlyMemory<byte>)b)], [.. context.Select(c => (ReadOnlyMemory<byte>)c.Bytes)], proofs,
            Encoding.UTF8.GetBytes(at.Note), Encoding.UTF8.GetBytes(await log.HeadOf(history.Stream.ToString(), at, ct)), timed.Around(entries.Select(e => indexes[e.Hash]), at.Checkpoint.Size));
    }

    sealed record Around(long Index, byte[] Bytes, Entry Entry);

    /// <summary>What the history rests on, in the order of the log: the ledger's opening, its key rotations, its rules, its restores, and every entry cited by exact hash.</summary>
    async Task<IReadOnlyList<Around>> Context(IReadOnlyList<Entry> entries, SignedCheckpoint at, CancellationToken ct)
    {
        Dictionary<string, Around> found = new(StringComparer.Ordinal);
        foreach (var name in await histories.All("ledger", ct))
            foreach (var (bytes, entry) in await Read(name, ct))
                if (entry.Fact is LedgerOpened or KeyRotated or KeyCompromised or RulesAdopted or LedgerRestored) await Put(found, bytes, entry, at, ct);
        var cited = entries.SelectMany(e => e.Fact.Cites).Where(r => r.Ledger is null || r.Ledger == ledger.Origin).Distinct().ToList();
        foreach (var stream in cited.GroupBy(r => r.Stream).Where(g => g.Key.ToString() != entries[0].Envelope.Stream.ToString()))
            foreach (var (bytes, entry) in await Read(stream.Key, ct))
                if (stream.Any(r => r.N == entry.N && r.Hash == entry.Hash)) await Put(found, bytes, entry, at, ct);
        return [.. found.Values.OrderBy(a => a.Index)];
    }

    async Task Put(Dictionary<string, Around> found, byte[] bytes, Entry entry, SignedCheckpoint at, CancellationToken ct)
    {
        // A rotation after this checkpoint belongs to a later dossier.
        if (await log.IndexOf(entry.Reference, ct) is { } index && index < at.Checkpoint.Size) found[entry.Hash] = new(index, bytes, entry);
    }

    async Task<IEnumerable<(byte[] Bytes, Entry Entry)>> Read(StreamName stream, CancellationToken ct) =>
        (await histories.Load(stream, ct)).Bytes.Where(b => !Gone.IsOne(b)).Select(b => (b, EntryCodec.Read(b)));

    async Task<IReadOnlyList<DossierFile>> Released(IReadOnlyList<Entry> entries, CancellationToken ct)
    {
        List<DossierFile> files = [];
        foreach (var hash in entries.SelectMany(e => Shapes.Open<PictureHash>(e.Fact)).Select(h => h.Text).Distinct().Order(StringComparer.Ordinal))
        {
            var stored = ContentHash.FromDigest(Base64Url.Decode(hash));
            if (!await pictures.Released.Has(stored, ct)) continue;
            files.Add(new DossierFile(hash, "jpg", () => pictures.Released.Open(stored, verify: true, CancellationToken.None).GetAwaiter().GetResult()!));
        }
        return files;
    }

    static async Task<string> WriteWhole(string path, DossierRequest request, CancellationToken ct)
    {
        var draft = path + ".new";
        await using (var file = new FileStream(draft, FileMode.Create, FileAccess.ReadWrite))
        {
            DossierWriter.Write(file, request);
            file.Flush(flushToDisk: true);
        }
        File.Move(draft, path, overwrite: true);
        await using var written = File.OpenRead(path);
        return Base64Url.Encode(await SHA256.HashDataAsync(written, ct));
    }

    /// <summary>On a stream of its own, never on the bat. The same request for the same head is one issue, however often the file is written.</summary>
    async Task RecordIssue(
        Entry head, SignedCheckpoint at, Reveal reveal, int shown, int photographs, string digest, string? issuedFor, PartyId by, CancellationToken ct)
    {
        // Keyed: a bare hash would let whoever reads the table try out whom it was for.
        var key = "dossier/" + keys.DigestOf("issue", Encoding.UTF8.GetBytes($"{head.Hash}\n{reveal}\n{issuedFor}\n{by}"));
        if (await recorder.WasAnswered(key, ct)) return;
        var stream = StreamName.Parse("dossier/" + Crockford.Encode(RandomNumberGenerator.GetBytes(16)));
        var command = new IssueDossier(head.Reference, at.Checkpoint.Size, at.Checkpoint.Root.Text, shown, photographs, digest, issuedFor) { By = by };
        var outcome = await recorder.Record(stream, command, new Request(key), ct);
        if (outcome is Refused { Refusals: [var first, ..] }) throw new InvalidOperationException($"The issue was not recorded ({first.Code}): {first.Sentence}");
    }
}
