using System.Text;
using Custody.Bats;
using Custody.Ledger;
using Custody.Transparency;

namespace Custody.Server.Dossiers;

/// <summary>What dossiers of other ledgers bring into ours: their histories as they stand, what they show, and their photographs.</summary>
sealed record EarlierHistories(IReadOnlyList<LedgerContents> Parts, IReadOnlyList<Shown> Shown, IReadOnlyList<DossierFile> Photographs)
{
    public static readonly EarlierHistories None = new([], [], []);
}

/// <summary>Reads the dossiers of the ledgers that a history continues from. One that fails its checks is refused: nobody should hand it on.</summary>
static class EarlierDossiers
{
    public static (EarlierHistories? Read, Refusal? Refused) Read(IReadOnlyList<FileInfo> files, DateTimeOffset now)
    {
        List<LedgerContents> parts = [];
        List<Shown> shown = [];
        List<DossierFile> photographs = [];
        foreach (var file in files)
        {
            if (!file.Exists) return (null, new("earlier-missing", $"There is no file {file.Name}.", "Give the dossier as the other house wrote it."));
            using var stream = file.OpenRead();
            if (DossierReader.WhyNotOne(stream) is { } why) return (null, new("earlier-no-dossier", $"{file.Name}: {why}", "Give the dossier as the other house wrote it."));
            var content = DossierReader.Read(stream);
            if (Checker.Run(content, new Expected([], null, now)).Checks.FirstOrDefault(c => c.Result == CheckResult.Failed) is { } failed)
                return (null, new("earlier-fails", $"{file.Name} fails the check '{failed.Name}': {failed.Reason}", "Ask the other house for a sound dossier."));
            parts.AddRange(content.Parts.Select(Contents));
            if (content.Disclosures is { } disclosures) shown.AddRange(DisclosuresFile.Read(disclosures.Span));
            photographs.AddRange(content.Photographs.Select(p => new DossierFile(p.Sha256, "jpg", () => Open(file.FullName, p.Path))));
        }
        return (new(parts, shown, photographs), null);
    }

    static LedgerContents Contents(LedgerPart part) => new(
        Checkpoint.Read(SignedNote.Parse(part.Checkpoint!.Value.Span)).Origin, Lines(part.History!.Value), Lines(part.Context!.Value), part.Proofs,
        part.Checkpoint.Value, part.Head!.Value, new Dictionary<string, ReadOnlyMemory<byte>>());

    static List<ReadOnlyMemory<byte>> Lines(ReadOnlyMemory<byte> file)
    {
        List<ReadOnlyMemory<byte>> lines = [];
        for (var rest = file; !rest.IsEmpty;)
        {
            var end = rest.Span.IndexOf((byte)'\n');
            lines.Add(rest[..end]);
            rest = rest[(end + 1)..];
        }
        return lines;
    }

    static Stream Open(string file, string path) => Bag.In(BagZipReader.Open(File.OpenRead(file), DossierReader.Limits)).Open(path);
}
