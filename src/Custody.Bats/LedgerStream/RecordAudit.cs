namespace Custody.Bats;

/// <summary>How an audit ended.</summary>
public enum AuditResult
{
    NothingFound,
    Remarks,
    Faults,
}

/// <summary>Record that somebody checked the ledger up to a checkpoint.</summary>
/// <param name="TreeSize">Size of that checkpoint.</param>
/// <param name="TreeRoot">Its root hash, 43 base64url characters.</param>
/// <param name="Faults">How many faults were found.</param>
/// <param name="ReportHash">SHA-256 of the report.</param>
public sealed record RecordAudit(
    long TreeSize, string TreeRoot, AuditResult Result, long Faults, string? Auditor, string? Report, string? ReportHash) : LedgerCommand
{
    public override IReadOnlyList<Fact<LedgerState>> Produce(LedgerState state, Introductions people) =>
        [new Audited(TreeSize, TreeRoot, Result, Faults, Auditor, Report, ReportHash)];
}

/// <summary>Somebody checked the ledger. The result is open; who it was and what they wrote may be shown.</summary>
public sealed record Audited(
    long TreeSize, [property: OpenText("the root hash of a published checkpoint, checked to be one")] string TreeRoot, AuditResult Result,
    long Faults, Withheld<string>? Auditor, Withheld<string>? Report, Withheld<string>? ReportHash) : LedgerFact
{
    protected override IEnumerable<Refusal> PermitOn(LedgerState ledger, Entry entry)
    {
        if (TreeSize < 1 || !Digests.IsSha256(TreeRoot))
            yield return new("no-such-checkpoint", "The audit does not name a checkpoint.", "Name size and root of a published checkpoint.");
        if (Faults < 0 || (Result == AuditResult.Faults) != (Faults > 0))
            yield return new("audit-unclear", "Result and number of faults do not fit.", "Count the faults, and say so when there are some.");
    }

    public override LedgerState Apply(LedgerState state, Entry entry) => state;
}
