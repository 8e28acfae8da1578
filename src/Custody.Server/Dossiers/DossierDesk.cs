using System.Security.Cryptography;
using System.Text;
using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Log;
using Custody.Server.Photographs;
using Custody.Server.Private;
using Custody.Server.Recording;
using Custody.Transparency;

namespace Custody.Server.Dossiers;

/// <summary>Gathers what a dossier needs, writes it, and records that it was handed out. Only entries under a published checkpoint go in.</summary>
public sealed class DossierDesk(
    Histories histories, WithheldValues withheld, LogDesk log, PictureStores pictures, Recorder recorder, LedgerName ledger)
{
    static readonly TimeSpan LongestWait = TimeSpan.FromSeconds(30);

    /// <summary>A dossier that was written.</summary>
    public sealed record Written(string Path, long Entries, long Shown, long Withheld, long TreeSize);

    /// <summary>Writes <c>SHORTNUMBER.dossier.zip</c> into a folder: whole, or not at all.</summary>
    /// <param name="earlier">Histories of other ledgers that this one continues from.</param>
    /// <param name="issuedFor">Whom it is for; withheld.</param>
    internal async Task<(Written? Done, Refusal? Refused)> Write(
        Bat bat, Reveal reveal, EarlierHistories earlier, string folder, string? issuedFor, PartyId by, CancellationToken ct)
    {
        var stream = StreamName.Parse(bat.Id);
        var values = await withheld.Of(stream, ct);
        if (reveal.Unfitting(values) is { Count: > 0 } unknown)
            return (null, new("reveal-unknown", $"No entry of this bat withholds {string.Join(", ", unknown)}.",
                $"Choose from: all, {string.Join(", ", values.Select(v => v.Name).Distinct().Order(StringComparer.Ordinal))}."));
        var history = await histories.Load(stream, ct);
        var entries = history.Bytes.Select(b => EntryCodec.Read(b)).ToList();
        var at = await log.Covering(bat.Id, entries.Count, LongestWait, ct);
        var shown = values.Where(reveal.Shows).Select(v => new Shown(bat.Id, v.N, v.Pointer, v.Disclosure)).ToList();
        var request = new DossierRequest(
            bat.Registration!.ShortNumber, await Own(history, entries, at, ct), earlier.Parts, [.. earlier.Shown, .. shown],
            [.. (await Released(entries, ct)).Concat(earlier.Photographs).DistinctBy(p => p.Sha256).OrderBy(p => p.Sha256, StringComparer.Ordinal)], []);
        Directory.CreateDirectory(folder);
        var path = Path.Combine(folder, DossierWriter.FileName(bat.Registration.ShortNumber));
        var digest = await WriteWhole(path, request, ct);
        await RecordIssue(entries[^1], at, reveal, shown.Count, request.Photographs.Count, digest, issuedFor, by, ct);
        return (new(path, entries.Count, shown.Count, values.Count - shown.Count, at.Checkpoint.Size), null);
    }

    async Task<LedgerContents> Own(StoredHistory history, List<Entry> entries, SignedCheckpoint at, CancellationToken ct)
    {
        var context = await Context(entries, at, ct);
        Dictionary<long, ReadOnlyMemory<byte>> proofs = [];
        foreach (var entry in entries.Concat(context.Select(c => c.Entry)))
        {
            var proof = await log.ProofOf(entry.Reference, at, ct);
            proofs[proof.Index] = proof.ToArray();
        }
        return new LedgerContents(
            ledger.Origin, [.. history.Bytes.Select(b => (ReadOnlyMemory<byte>)b)], [.. context.Select(c => (ReadOnlyMemory<byte>)c.Bytes)], proofs,
            Encoding.UTF8.GetBytes(at.Note), Encoding.UTF8.GetBytes(await log.HeadOf(history.Stream.ToString(), at, ct)), new Dictionary<string, ReadOnlyMemory<byte>>());
    }

    sealed record Around(long Index, byte[] Bytes, Entry Entry);

    /// <summary>What the history rests on, in the order of the log: the ledger's opening, its key rotations, its rules, and every entry cited by exact hash.</summary>
    async Task<IReadOnlyList<Around>> Context(List<Entry> entries, SignedCheckpoint at, CancellationToken ct)
    {
        Dictionary<string, Around> found = new(StringComparer.Ordinal);
        foreach (var name in await histories.All("ledger", ct))
            foreach (var (bytes, entry) in await Read(name, ct))
                if (entry.Fact is LedgerOpened or KeyRotated or KeyCompromised or RulesAdopted) await Put(found, bytes, entry, at, ct);
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
        (await histories.Load(stream, ct)).Bytes.Select(b => (b, EntryCodec.Read(b)));

    async Task<IReadOnlyList<DossierFile>> Released(List<Entry> entries, CancellationToken ct)
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
        var asked = Hash.Of(Encoding.UTF8.GetBytes($"{head.Hash}\n{reveal.All}\n{string.Join(',', reveal.Names.Order(StringComparer.Ordinal))}\n{issuedFor}\n{by}"));
        if (await recorder.WasAnswered("dossier/" + asked.Text, ct)) return;
        var stream = StreamName.Parse("dossier/" + Crockford.Encode(RandomNumberGenerator.GetBytes(16)));
        var command = new IssueDossier(head.Reference, at.Checkpoint.Size, at.Checkpoint.Root.Text, shown, photographs, digest, issuedFor) { By = by };
        var outcome = await recorder.Record(stream, command, new Request("dossier/" + asked.Text), ct);
        if (outcome is Refused { Refusals: [var first, ..] }) throw new InvalidOperationException($"The issue was not recorded ({first.Code}): {first.Sentence}");
    }
}
