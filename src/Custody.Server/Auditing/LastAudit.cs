using System.Text.Json;
using Custody.Bats;
using Custody.Server.Private;
using Custody.Server.Recording;

namespace Custody.Server.Auditing;

/// <summary>The last audit that was asked for from a page, as it ended. Named rows are kept, who asked is not.</summary>
/// <param name="Found">Null when it could not be done.</param>
/// <param name="NotDone">Why it could not be done, or its result not be recorded.</param>
public sealed record LastAudit(DateTimeOffset Began, DateTimeOffset Ended, AuditFigures? Found, bool Recorded, string? NotDone)
{
    static string PathIn(LedgerPlace place) => Path.Combine(place.Folder("audit"), "last");

    /// <summary>As kept in the data folder; null when there was none.</summary>
    public static LastAudit? Read(LedgerPlace place) =>
        File.Exists(PathIn(place)) ? JsonSerializer.Deserialize<LastAudit>(File.ReadAllBytes(PathIn(place)), JsonText.Options) : null;

    /// <summary>Keeps it in place of the one before.</summary>
    public void Keep(LedgerPlace place)
    {
        OwnerOnly.Folder(place.Folder("audit"));
        OwnerOnly.Replace(PathIn(place), JsonSerializer.SerializeToUtf8Bytes(this, JsonText.Options));
    }
}

/// <summary>What an audit looked at and found.</summary>
/// <param name="Rows">Findings as far as they are kept, each with the exact row, file or object.</param>
/// <param name="Beyond">How many more were found.</param>
public sealed record AuditFigures(
    AuditResult Result, long Faults, long Remarks, long Events, long Checkpoints, long Pending, long Photographs, long Values, long States, IReadOnlyList<Finding> Rows, long Beyond)
{
    public static AuditFigures Of(AuditReport found) => new(
        AuditRecord.ResultOf(found), found.Findings.Faults, found.Findings.Remarks, found.Events, found.Checkpoints, found.Pending, found.Photographs, found.Values, found.States,
        [.. found.Findings.Kept], found.Findings.Beyond.Sum(b => b.More));
}
