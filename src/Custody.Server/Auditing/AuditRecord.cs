using System.Security.Cryptography;
using System.Text;
using Custody.Bats;
using Custody.Server.Recording;
using Custody.Transparency;

namespace Custody.Server.Auditing;

/// <summary>Records an audit's result in the ledger's own stream.</summary>
public sealed class AuditRecord(Recorder recorder, Histories histories)
{
    public static AuditResult ResultOf(AuditReport found) =>
        found.Findings.Faults > 0 ? AuditResult.Faults : found.Findings.Remarks > 0 ? AuditResult.Remarks : AuditResult.NothingFound;

    /// <summary>Records it.</summary>
    /// <param name="by">Who audits; withheld.</param>
    /// <param name="report">The report kept elsewhere, of which the digest is recorded; null when none is.</param>
    /// <returns>Why not; null when it is recorded.</returns>
    public async Task<Refusal?> Record(AuditReport found, string? by, string? report, CancellationToken ct)
    {
        if (found.Newest is not { } newest) return new("not-published", "Nothing was signed yet, so there is nothing that an audit could name.", "Audit again when the first checkpoint is published.");
        var own = (await histories.All("ledger", ct))[0];
        var hash = report is null ? null : Base64Url.Encode(SHA256.HashData(Encoding.UTF8.GetBytes(report)));
        RecordAudit command = new(newest.Size, newest.Root.Text, ResultOf(found), found.Findings.Faults, by, null, hash) { By = PartyId.Ledger };
        return await recorder.Record(own, command, new Request(), ct) switch
        {
            Recorded => null,
            Refused refused => refused.Refusals[0],
            _ => new("not-recorded", "Something else was recorded in the ledger's own stream at the same moment.", "Audit again to record a result."),
        };
    }
}
