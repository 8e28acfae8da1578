using Custody.Ledger;
using Custody.Server.Publishing;
using Custody.Transparency;
using Command = System.CommandLine.Command;

namespace Custody.Server.Operating;

/// <summary>The <c>checker</c> command: writes the offline checker page and records its hash on the ledger's own stream.</summary>
static class CheckerCommand
{
    public static Command Make(System.CommandLine.Option<DirectoryInfo> data)
    {
        System.CommandLine.Option<DirectoryInfo> folder = new("--out") { Description = "Folder to write into.", DefaultValueFactory = _ => new DirectoryInfo("out") };
        System.CommandLine.Option<bool> pageOnly = new("--page-only") { Description = "Write the page alone, as for a release: no ledger is opened and nothing recorded." };
        var checker = new Command("checker", "Write the offline checker page and record its hash on the ledger's own stream.") { folder, pageOnly, data };
        checker.SetAction((parsed, ct) => parsed.GetValue(pageOnly) ? WriteOnly(parsed.GetValue(folder)!, ct) : Run(parsed.GetValue(data)!, parsed.GetValue(folder)!, ct));
        return checker;
    }

    static async Task<int> WriteOnly(DirectoryInfo folder, CancellationToken ct)
    {
        Console.WriteLine(await CheckerDesk.Write(folder, ct));
        Console.WriteLine(Words(CheckerPage.Sha256));
        return 0;
    }

    static async Task<int> Run(DirectoryInfo data, DirectoryInfo folder, CancellationToken ct)
    {
        await using var ledger = await OpenedLedger.Open(data, ct);
        var (entry, refused) = await ledger.Get<CheckerDesk>().Record(ct);
        if (refused is not null) return Complaints.Say(refused);
        Console.WriteLine(await CheckerDesk.Write(folder, ct));
        Console.WriteLine(Words(CheckerPage.Sha256));
        Console.WriteLine($"Entry {entry} of the ledger's own stream vouches for it. Publish it where people look for you; it belongs in no dossier.");
        return 0;
    }

    /// <summary>The hash as the entry writes it and as <c>sha256sum</c> prints it.</summary>
    public static string Words(string sha256) => $"SHA-256 {Hash.Parse(sha256).Hex} ({sha256})";
}
