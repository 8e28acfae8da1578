using Custody.Bats;
using Custody.Server.Dossiers;
using Custody.Server.Recording;

namespace Custody.Server.Operating;

/// <summary>The <c>dossier</c> command.</summary>
static class Disclosing
{
    /// <param name="earlier">Dossiers of other ledgers that this history continues from.</param>
    public static async Task<int> Run(
        DirectoryInfo data, string said, IReadOnlyList<string> reveal, IReadOnlyList<FileInfo> earlier, string? issuedFor, DirectoryInfo folder, CancellationToken ct)
    {
        await using var ledger = await OpenedLedger.Open(data, ct);
        if (await ledger.Get<BatFinder>().Find(said, ct) is not { } bat)
            return Complaints.Say(new("unknown-bat", $"There is no bat {said} in this ledger.", "Give the short number on its label, or the stream's name."));
        var (before, unfit) = EarlierDossiers.Read(earlier, ledger.Get<TimeProvider>().GetUtcNow());
        if (before is null) return Complaints.Say(unfit!);
        var (done, refused) = await ledger.Get<DossierDesk>().Write(bat, Reveal.Parse(reveal), before, folder.FullName, issuedFor, PartyId.Ledger, ct);
        if (done is null) return Complaints.Say(refused!);
        Console.WriteLine($"{done.Path}");
        Console.WriteLine($"{done.Entries} entries under a checkpoint of {done.TreeSize} leaves; {done.Shown} withheld values shown, {done.Withheld} kept back.");
        Console.WriteLine("This proves a history. It does not prove that whoever shows it owns or holds the bat.");
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
