using System.CommandLine;
using Custody.Server.Auditing;
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
        var text = AuditText.Of(found);
        Console.Write(text);
        if (wish.Report is not null) await File.WriteAllTextAsync(wish.Report.FullName, text, ct);
        if (wish.Record) await Record(data, wish, found, text, ct);
        return found.Findings.Faults > 0 ? 1 : 0;
    }

    // Nothing is prepared and nothing sequenced: a start would mend what is to be found.
    static async Task<AuditReport> Look(DirectoryInfo data, AuditScope scope, CancellationToken ct)
    {
        await using var postgres = await Serving.Postgres(data, ct);
        await using var services = OpenedLedger.Build(Serving.PlaceIn(data, postgres.ConnectionString), TimeProvider.System);
        return await services.GetRequiredService<Auditor>().Run(scope, new OnStandardError(), ct);
    }

    static async Task Record(DirectoryInfo data, Wish wish, AuditReport found, string text, CancellationToken ct)
    {
        if (found.Newest is null) throw new Log.LogFault("not-published", "Nothing was signed yet, so there is nothing that an audit could name.");
        await using var ledger = await OpenedLedger.Open(data, ct);
        if (await ledger.Get<AuditRecord>().Record(found, wish.By, wish.Report is null ? null : text, ct) is { } refusal)
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
