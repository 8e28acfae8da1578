using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>Packs a dossier: a BagIt bag in a ZIP archive. The same request under the same checkpoint and head gives the same bytes. Pictures
/// are streamed; nothing is written when the history itself does not hold.</summary>
public static class DossierWriter
{
    /// <summary>Name of the file: the short number and <c>.dossier.zip</c>.</summary>
    public static string FileName(string shortNumber) => shortNumber + ".dossier.zip";

    internal static string Title(Reading reading) => $"History of bat {reading.State.Registration?.ShortNumber}";

    /// <summary>Writes the dossier.</summary>
    /// <param name="destination">Where to, from its present position on.</param>
    /// <exception cref="InvalidOperationException">The history does not pass its own checks: nobody is handed a broken dossier. Nothing was written.</exception>
    public static void Write(Stream destination, DossierRequest request)
    {
        var content = Content(request);
        var seen = Preview(request, content);
        List<BagFile> files = [.. content.Parts.Zip(request.Earlier.Prepend(request.Own)).SelectMany(p => Part(p.First, p.Second))];
        files.Add(BagFile.Of(DossierLayout.Disclosures, seen.Disclosures.ToArray()));
        files.Add(BagFile.Of(DossierLayout.Summary, seen.Summary.ToArray()));
        files.Add(BagFile.Of(DossierLayout.Page, seen.Page.ToArray()));
        files.Add(BagFile.Of(DossierLayout.ReadMe, ReadMe.Bytes));
        files.AddRange(request.Photographs.Select(p => new BagFile(DossierLayout.PhotographPath(p.Sha256), p.Open)));
        files.AddRange(request.Documents.Select(d => new BagFile(DossierLayout.DocumentPath(d.Sha256, d.Extension), d.Open)));
        var head = Head.Read(SignedNote.Parse(request.Own.Head.Span));
        KeyValuePair<string, string>[] info =
        [
            new("Source-Organization", request.Own.Origin),
            new(DossierLayout.NumberLabel, request.ShortNumber),
            new("Bagging-Date", EntryText.Write(head.Time)[..10]),
        ];
        BagZipWriter.Write(destination, request.ShortNumber, files, info, head.Time);
    }

    /// <summary>Exactly what the reader of this dossier will be told: the files themselves, before anything is written or recorded.</summary>
    /// <exception cref="InvalidOperationException">As <see cref="Write"/>.</exception>
    public static DossierPreview Preview(DossierRequest request) => Preview(request, Content(request));

    static DossierPreview Preview(DossierRequest request, DossierContent content)
    {
        var (open, told) = Fold(request, content);
        return new(
            HistoryPage.Write(Title(open), told), Summary.Write(open), content.Disclosures!.Value,
            [.. content.Photographs.Select(p => p.Path)], [.. content.Documents.Select(d => d.Path)]);
    }

    static DossierContent Content(DossierRequest request) => new(
        null, [Own(request.Own, DossierLayout.Main), .. request.Earlier.Select(e => Own(e, DossierLayout.EarlierFolder(e.Origin)))],
        DisclosuresFile.Write(request.Shown), null, null, null, null,
        [.. request.Photographs.Select(p => new AttachedFile(DossierLayout.PhotographPath(p.Sha256), p.Sha256, IsJpeg: true))],
        [.. request.Documents.Select(d => new AttachedFile(DossierLayout.DocumentPath(d.Sha256, d.Extension), d.Sha256, IsJpeg: false))]);

    static LedgerPart Own(LedgerContents contents, string folder) => new(
        folder, Lines(contents.History), Lines(contents.Context), contents.Proofs, contents.Checkpoint, contents.Head, contents.Timeline);

    static ReadOnlyMemory<byte> Lines(IReadOnlyList<ReadOnlyMemory<byte>> lines)
    {
        var bytes = new byte[lines.Sum(l => l.Length + 1)];
        var at = 0;
        foreach (var line in lines)
        {
            line.CopyTo(bytes.AsMemory(at));
            at += line.Length + 1;
            bytes[at - 1] = (byte)'\n';
        }
        return bytes;
    }

    // Page and summary are made by the very steps the checker will take, so that both make the same.
    static (Reading Open, IReadOnlyList<ToldHistory> Told) Fold(DossierRequest request, DossierContent content)
    {
        var (report, open) = Checker.Look(content, new Expected([], null, DateTimeOffset.UnixEpoch));
        // A house's wrong sum is the reader's to see in check 15; it must not keep a holder from handing the history over.
        if (report.Checks.FirstOrDefault(c => c.Result == CheckResult.Failed && c.Number != AmountsCheck.Number) is { } failed)
            throw new InvalidOperationException($"The dossier would fail check {failed.Number} ({failed.Name}): {failed.Reason}");
        if (open is null) throw new InvalidOperationException($"The history cannot be folded to its end: {report.Checks[9].Reason}");
        return open.State.Registration?.ShortNumber == request.ShortNumber
            ? (open, report.Histories)
            : throw new InvalidOperationException($"The history is that of bat {open.State.Registration?.ShortNumber}, not {request.ShortNumber}.");
    }

    static IEnumerable<BagFile> Part(LedgerPart part, LedgerContents contents)
    {
        yield return BagFile.Of(part.Folder + DossierLayout.History, part.History!.Value.ToArray());
        yield return BagFile.Of(part.Folder + DossierLayout.ContextFile, part.Context!.Value.ToArray());
        yield return BagFile.Of(part.Folder + DossierLayout.Checkpoint, contents.Checkpoint.ToArray());
        yield return BagFile.Of(part.Folder + DossierLayout.Head, contents.Head.ToArray());
        foreach (var (index, proof) in contents.Proofs) yield return BagFile.Of(DossierLayout.Proof(part.Folder, index), proof.ToArray());
        foreach (var (name, file) in contents.Timeline) yield return BagFile.Of($"{part.Folder}timeline/{name}", file.ToArray());
    }
}

/// <summary>What a reader of a dossier gets to see, as its files hold it.</summary>
/// <param name="Page">Bytes of <c>history.html</c>.</param>
/// <param name="Summary">Bytes of <c>summary.json</c>.</param>
/// <param name="Disclosures">Bytes of <c>disclosures.json</c>: every value shown, and no other.</param>
/// <param name="Photographs">Paths of the pictures in it.</param>
/// <param name="Documents">Paths of the papers in it.</param>
public sealed record DossierPreview(
    ReadOnlyMemory<byte> Page, ReadOnlyMemory<byte> Summary, ReadOnlyMemory<byte> Disclosures, IReadOnlyList<string> Photographs, IReadOnlyList<string> Documents);
