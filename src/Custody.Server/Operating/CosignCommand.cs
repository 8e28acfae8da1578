using System.CommandLine;
using System.Globalization;
using Custody.Ledger;
using Custody.Server.Cosigning;
using Custody.Server.Stamping;
using Custody.Transparency;
using Command = System.CommandLine.Command;

namespace Custody.Server.Operating;

/// <summary>What a keeper does about cosigners and time stamps: the key for cosigning others, gathering now, the evidence that was kept.</summary>
static class CosignCommand
{
    const int Wrong = 1;

    public static Command Make(Option<DirectoryInfo> data)
    {
        Option<string?> name = new("--name") { Description = "Name on cosignature lines, for ever; the ledger's own name and /cosigner when left out." };
        var key = new Command("key", "Make this server's cosigner key, or show the one it has: what other ledgers write into their policy.") { name, data };
        key.SetAction((parsed, ct) => Key(parsed.GetValue(data)!, parsed.GetValue(name), ct));
        var gather = new Command("gather", "Ask every cosigner of cosigning.policy for the newest checkpoint now.") { data };
        gather.SetAction((parsed, ct) => Gather(parsed.GetValue(data)!, ct));
        Option<DirectoryInfo> folder = new("--out") { Description = "Folder to write into.", DefaultValueFactory = _ => new DirectoryInfo("out") };
        var evidence = new Command("evidence", "Write out what was kept against ledgers that showed two histories.") { folder, data };
        evidence.SetAction((parsed, ct) => Evidence(parsed.GetValue(data)!, parsed.GetValue(folder)!, ct));
        return new Command("cosign", "Cosigners: those who cosign this ledger's checkpoints, and cosigning for others.") { key, gather, evidence };
    }

    public static Command MakeStamp(Option<DirectoryInfo> data)
    {
        var stamp = new Command("stamp", $"Have the newest checkpoint time-stamped now (RFC 3161) by the authority of {Configuring.Settings.TimestampUrl.Name}.") { data };
        stamp.SetAction((parsed, ct) => Stamp(parsed.GetValue(data)!, ct));
        return stamp;
    }

    static async Task<int> Key(DirectoryInfo data, string? name, CancellationToken ct)
    {
        await using var ledger = await OpenedLedger.Open(data, ct);
        var key = ledger.Get<CosignerKey>();
        try
        {
            await Console.Out.WriteLineAsync(key.Make(name ?? ledger.Get<Recording.LedgerPlace>().Origin + "/cosigner").Text);
            return 0;
        }
        catch (Malformed malformed)
        {
            await Console.Error.WriteLineAsync($"{malformed.Sentence}\nGive another --name.");
            return Wrong;
        }
    }

    static async Task<int> Gather(DirectoryInfo data, CancellationToken ct)
    {
        await using var ledger = await OpenedLedger.Open(data, ct);
        Gathered? gathered;
        try
        {
            gathered = await ledger.Get<Cosigners>().Gather(ct);
        }
        catch (Malformed malformed)
        {
            await Console.Error.WriteLineAsync($"{ledger.Get<CosignSettings>().Path}: {malformed.Sentence}");
            return Wrong;
        }
        if (gathered is null)
        {
            await Console.Error.WriteLineAsync($"Nobody to ask. Name cosigners with their addresses in {ledger.Get<CosignSettings>().Path} (c2sp.org/tlog-policy), or record something first.");
            return Wrong;
        }
        foreach (var cosigner in gathered.Standings) await Console.Out.WriteLineAsync($"{cosigner.Name}: {cosigner.Fault ?? "cosigned"}");
        await Console.Out.WriteLineAsync(string.Create(CultureInfo.InvariantCulture, $"Size {gathered.Checkpoint.Size}: {(gathered.HasQuorum ? "cosigned as the policy asks." : "not cosigned as the policy asks.")}"));
        return gathered.HasQuorum ? 0 : Wrong;
    }

    static async Task<int> Evidence(DirectoryInfo data, DirectoryInfo folder, CancellationToken ct)
    {
        await using var ledger = await OpenedLedger.Open(data, ct);
        IReadOnlyList<ForkEvidence> kept;
        try
        {
            kept = await ledger.Get<CosignDesk>().Evidence(ct);
        }
        catch (Malformed malformed)
        {
            await Console.Error.WriteLineAsync($"{ledger.Get<CosignSettings>().Path}: {malformed.Sentence}");
            return Wrong;
        }
        folder.Create();
        foreach (var (evidence, i) in kept.Select((e, i) => (e, i + 1)))
        {
            var path = Write(evidence, folder, i);
            await Console.Out.WriteLineAsync(string.Create(CultureInfo.InvariantCulture, $"{evidence.Origin}, seen {evidence.Seen:u}: {path}.cosigned, {path}.request"));
            await Console.Out.WriteLineAsync(evidence.Proof is null
                ? $"  Proves nothing by itself: anybody can send an honest checkpoint with a proof that leads nowhere, and from a size that is a power of two a proof leaves the earlier root out. Look at the log it came from: custody-verify misconduct make {path}.cosigned {path}.request --key VKEY --online URL --out FILE"
                : $"  Convicts its key before anyone: custody-verify misconduct check {path}.misconduct.json");
        }
        if (kept.Count == 0) await Console.Out.WriteLineAsync("Nothing was kept: no ledger that is cosigned here showed two histories.");
        return 0;
    }

    /// <summary>Writes one piece of evidence: what was cosigned, the request that was refused, and the proof where the two make one.</summary>
    /// <returns>The files' path without their endings.</returns>
    internal static string Write(ForkEvidence evidence, DirectoryInfo folder, int number)
    {
        var path = Path.Combine(folder.FullName, string.Create(CultureInfo.InvariantCulture, $"evidence-{number}"));
        File.WriteAllText(path + ".cosigned", evidence.Cosigned);
        File.WriteAllBytes(path + ".request", evidence.Request.ToArray());
        if (evidence.Proof is { } proof) File.WriteAllBytes(path + ".misconduct.json", MisconductFile.Write(proof));
        return path;
    }

    static async Task<int> Stamp(DirectoryInfo data, CancellationToken ct)
    {
        await using var ledger = await OpenedLedger.Open(data, ct);
        if (ledger.Get<StampSettings>().Address is null)
        {
            await Console.Error.WriteLineAsync($"There is no authority. Give its address in {Configuring.Settings.TimestampUrl.Name} and its root certificates (PEM) in {Configuring.Settings.TimestampRoots.Name}.");
            return Wrong;
        }
        try
        {
            await Console.Out.WriteLineAsync(await ledger.Get<Stamper>().Stamp(ct) is { } stamped
                ? string.Create(CultureInfo.InvariantCulture, $"Size {stamped.Size} stamped {stamped.Time:u} by {stamped.Authority}.")
                : "The newest checkpoint is stamped already, or there is none.");
            return 0;
        }
        catch (OutsideFault fault)
        {
            await Console.Error.WriteLineAsync($"{fault.Message}\nNothing was kept. Try again later, or look at the address.");
            return Wrong;
        }
    }
}
