using System.CommandLine;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using Custody.Bats;
using Custody.Server.Auditing;
using Custody.Server.Recording;
using Custody.Transparency;
using Command = System.CommandLine.Command;

namespace Custody.Server.Operating;

/// <summary>The command <c>audit</c>: findings and figures on standard output, progress on standard error; 0 without a fault, 1 with one.</summary>
static class AuditCommand
{
    sealed record Wish(AuditScope Scope, FileInfo? Report, bool Record, string? By);

    /// <param name="data">The option that names the data folder, common to all commands.</param>
    public static Command Make(Option<DirectoryInfo> data)
    {
        Option<bool> rows = new("--rows-only") { Description = "Leave out withheld values and files: entries, chains, log, checkpoints, tiles only." };
        Option<bool> states = new("--states") { Description = "Fold every stream again too and compare the kept states: as long as a rebuild." };
        Option<FileInfo?> report = new("--report") { Description = "File for the report." };
        Option<bool> record = new("--record") { Description = "Record the result in the ledger (Audited)." };
        Option<string?> by = new("--by") { Description = "Who audits; recorded withheld." };
        var audit = new Command("audit", "Re-hash everything stored and compare it with all that was ever signed. Changes nothing.") { rows, states, report, record, by, data };
        audit.SetAction((parsed, ct) => Run(parsed.GetValue(data)!, new(
            new(!parsed.GetValue(rows), parsed.GetValue(states)), parsed.GetValue(report), parsed.GetValue(record), parsed.GetValue(by)), ct));
        return audit;
    }

    static async Task<int> Run(DirectoryInfo data, Wish wish, CancellationToken ct)
    {
        var found = await Look(data, wish.Scope, ct);
        var text = Text(found);
        Console.Write(text);
        if (wish.Report is not null) await File.WriteAllTextAsync(wish.Report.FullName, text, ct);
        if (wish.Record) await Record(data, wish, found, wish.Report is null ? null : text, ct);
        return found.Findings.Faults > 0 ? 1 : 0;
    }

    // Nothing is prepared and nothing sequenced: a start would mend what is to be found.
    static async Task<AuditReport> Look(DirectoryInfo data, AuditScope scope, CancellationToken ct)
    {
        await using var postgres = await Serving.Postgres(data, ct);
        await using var services = OpenedLedger.Build(Serving.PlaceIn(data, postgres.ConnectionString), TimeProvider.System);
        return await services.GetRequiredService<Auditor>().Run(scope, new OnStandardError(), ct);
    }

    static string Text(AuditReport found)
    {
        StringBuilder text = new();
        foreach (var finding in found.Findings.Kept) text.Append(finding).Append('\n');
        foreach (var (code, more) in found.Findings.Beyond) text.Append(CultureInfo.InvariantCulture, $"       {code}  and {more} more of this kind\n");
        text.Append(CultureInfo.InvariantCulture, $"{found.Events} events re-hashed, {found.Size} leaves, {found.Checkpoints} checkpoints compared, {found.Pending} entries waiting for the log\n");
        if (found.Gone + found.Unnamed > 0) text.Append(CultureInfo.InvariantCulture, $"{found.Gone} entries are gone after a restore, {found.Unnamed} records belong to no stream known\n");
        text.Append(CultureInfo.InvariantCulture, $"{found.Photographs} photographs, {found.Values} withheld values ({found.Erased} erased), {found.States} states looked at\n");
        if (found.Newest is { } newest) text.Append(CultureInfo.InvariantCulture, $"newest checkpoint compared: size {newest.Size}, root {newest.Root.Standard}\n");
        return text.Append(CultureInfo.InvariantCulture, $"{found.Findings.Faults} faults, {found.Findings.Remarks} remarks\n").ToString();
    }

    static async Task Record(DirectoryInfo data, Wish wish, AuditReport found, string? report, CancellationToken ct)
    {
        if (found.Newest is not { } newest) throw new Log.LogFault("not-published", "Nothing was signed yet, so there is nothing that an audit could name.");
        await using var ledger = await OpenedLedger.Open(data, ct);
        var own = (await ledger.Get<Histories>().All("ledger", ct))[0];
        var hash = report is null ? null : Base64Url.Encode(SHA256.HashData(Encoding.UTF8.GetBytes(report)));
        var (faults, remarks) = (found.Findings.Faults, found.Findings.Remarks);
        var result = faults > 0 ? AuditResult.Faults : remarks > 0 ? AuditResult.Remarks : AuditResult.NothingFound;
        var outcome = await ledger.Get<Recorder>().Record(
            own, new RecordAudit(newest.Size, newest.Root.Text, result, faults, wish.By, null, hash) { By = PartyId.Ledger }, new Request(), ct);
        if (outcome is Refused { Refusals: [var refusal, ..] })
        {
            Complaints.Say(refusal);
            return;
        }
        await ledger.Get<Log.KeyHandover>().Published(ct);
        Console.WriteLine("The result was recorded in the ledger, and published.");
    }

    // Straight to the stream: Progress<T> would report from other threads, after the end.
    sealed class OnStandardError : IProgress<string>
    {
        public void Report(string value) => Console.Error.WriteLine(value);
    }
}
