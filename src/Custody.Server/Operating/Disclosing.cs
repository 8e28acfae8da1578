using System.Globalization;
using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Dossiers;
using Custody.Server.Recording;

namespace Custody.Server.Operating;

/// <summary>The <c>dossier</c> command.</summary>
static class Disclosing
{
    /// <param name="earlier">Dossiers of other ledgers that this history continues from.</param>
    /// <param name="preview">Only show what the reader would see; write no dossier, record nothing.</param>
    public static async Task<int> Run(
        DirectoryInfo data, string said, IReadOnlyList<string> reveal, IReadOnlyList<FileInfo> earlier, string? issuedFor, bool preview, DirectoryInfo folder,
        CancellationToken ct)
    {
        await using var ledger = await OpenedLedger.Open(data, ct);
        if (await ledger.Get<BatFinder>().Find(said, ct) is not { } bat)
            return Complaints.Say(BatFinder.Unknown(said));
        var (before, unfit) = EarlierDossiers.Read(earlier, ledger.Get<TimeProvider>().GetUtcNow());
        if (before is null) return Complaints.Say(unfit!);
        if (preview) return await Preview(ledger.Get<DossierDesk>(), bat, Reveal.Parse(reveal), before, folder, ct);
        var (done, refused) = await ledger.Get<DossierDesk>().Write(bat, Reveal.Parse(reveal), before, folder.FullName, issuedFor, PartyId.Ledger, ct);
        if (done is null) return Complaints.Say(refused!);
        Console.WriteLine($"{done.Path}");
        Console.WriteLine($"{done.Entries} entries under a checkpoint of {done.TreeSize} leaves; {done.Shown} withheld values shown, {done.Withheld} kept back.");
        Console.WriteLine("This proves a history. It does not prove that whoever shows it owns or holds the bat.");
        return 0;
    }

    /// <summary>Lists every withheld value with the choice, and writes the files that the reader would be told from, byte for byte.</summary>
    static async Task<int> Preview(DossierDesk desk, Bat bat, Reveal reveal, EarlierHistories before, DirectoryInfo folder, CancellationToken ct)
    {
        var (done, refused) = await desk.Preview(bat, reveal, before, ct);
        if (done is null) return Complaints.Say(refused!);
        foreach (var entry in done.Fields.GroupBy(f => (f.Place.N, f.Happened)))
        {
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"entry {entry.Key.N}: {entry.Key.Happened}"));
            foreach (var field in entry) Console.WriteLine($"  {(field.Chosen ? "shown    " : "kept back")}  {field.Place.Path}  {field.Field}: {field.Value}");
        }
        Console.WriteLine($"{done.Fields.Count(f => f.Chosen)} of {done.Fields.Count} withheld values would be shown; {done.Seen.Photographs.Count} photographs and {done.Seen.Documents.Count} papers go with them.");
        var seen = Directory.CreateDirectory(Path.Combine(folder.FullName, bat.Registration!.ShortNumber + ".preview")).FullName;
        foreach (var (name, bytes) in new[] { ("history.html", done.Seen.Page), ("summary.json", done.Seen.Summary), ("disclosures.json", done.Seen.Disclosures) })
        {
            await File.WriteAllBytesAsync(Path.Combine(seen, name), bytes, ct);
            Console.WriteLine(Path.Combine(seen, name));
        }
        Console.WriteLine("Nothing was recorded. What is once handed out cannot be recalled.");
        return 0;
    }
}

/// <summary>How a command says that something is refused.</summary>
static class Complaints
{
    public static int Say(Refusal refusal)
    {
        Console.Error.WriteLine($"{refusal.Sentence} ({refusal.Code})");
        Console.Error.WriteLine(refusal.Remedy);
        return 1;
    }
}
