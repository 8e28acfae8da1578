using System.Globalization;
using Custody.Server.Cosigning;
using Custody.Server.Finding;
using Custody.Server.Photographs;
using Custody.Server.Private;
using Custody.Server.Recording;
using Custody.Transparency;
using Marten;

namespace Custody.Server.Auditing;

/// <summary>How much of the ledger an audit looks at.</summary>
/// <param name="Values">Whether withheld values are opened and files hashed again.</param>
/// <param name="States">Whether every stream is folded again and compared with its kept state.</param>
public sealed record AuditScope(bool Values, bool States);

/// <summary>What was looked at, and what was found.</summary>
/// <param name="Size">Leaves of the tree as it was rebuilt.</param>
/// <param name="Newest">Size and root of the newest checkpoint that was signed within them; null when there is none.</param>
/// <param name="Pending">Entries that wait for their place in the log.</param>
/// <param name="Gone">Entries of which only hash and place came back after a restore.</param>
/// <param name="Unnamed">Records that came back and belong to no stream known.</param>
public sealed record AuditReport(
    long Events, long Size, (long Size, Hash Root)? Newest, long Checkpoints, long Pending, long Gone, long Unnamed, long Photographs, long Values, long Erased,
    long States, Findings Findings);

/// <summary>Re-hashes everything from the stored bytes and holds it against all that was ever signed. Changes nothing, repairs nothing, believes no column.</summary>
public sealed class Auditor(LedgerPlace place, KeyRing keys, PictureStores stores, IDocumentStore store, CosignerKey cosigner, SearchIndex search, TimeProvider clock)
{
    public async Task<AuditReport> Run(AuditScope scope, IProgress<string> progress, CancellationToken ct)
    {
        Findings findings = new();
        var folder = place.Folder("log");
        var files = SignedCheckpoints.Files(folder);
        await using var snapshot = await Snapshot.Take(place, ct);
        await StructureAudit.Guards(snapshot, findings, ct);
        await StructureAudit.Uniqueness(snapshot, findings, ct);
        var ledger = await KeyHistory.Read(snapshot, findings, ct);
        var checkpoints = await SignedCheckpoints.Open(snapshot, folder, files, ledger, findings, clock.GetUtcNow(), ct);
        var pending = await StructureAudit.Pending(snapshot, findings, ct);
        PictureNames pictures = new();
        RowAudit rows = new(place.Origin, ledger, findings);
        TreeAudit tree = new(folder, checkpoints, findings);
        await Scan(snapshot, rows, tree, new EventLooking(place.Origin, findings, pictures), progress, ct);
        tree.End();
        rows.End(pending);
        await StructureAudit.Streams(snapshot, rows.Streams, findings, ct);
        await new CosignAudit(snapshot, cosigner, findings).Run(ct);
        await AnswerAudit.Run(snapshot, findings, ct);
        FileAudit paper = new(stores, findings, progress);
        ValueAudit values = new(keys, paper, findings, progress);
        StateAudit states = new(store, findings, progress);
        var photographs = scope.Values ? await paper.Photographs(pictures, ct) : 0;
        if (scope.Values) await values.Run(snapshot, ct);
        if (scope.States) await states.Run(snapshot, ct);
        if (scope.States) await new SearchAudit(snapshot, search, findings).Run(tree.Size, ct);
        return new(rows.Events, tree.Size, checkpoints.Last, checkpoints.Compared, pending.Count, rows.Gone, rows.Unnamed, photographs, values.Looked, values.Erased, states.Looked, findings);
    }

    static async Task Scan(Snapshot snapshot, RowAudit rows, TreeAudit tree, EventLooking looking, IProgress<string> progress, CancellationToken ct)
    {
        var all = await snapshot.Scalar<long>($"select coalesce(max(seq_id), 0) from {snapshot.Schema}.mt_events", ct);
        var events = Rows.Events(await snapshot.Open(ct), snapshot.Schema, looking, ct);
        var leaves = Rows.Leaves(await snapshot.Open(ct), snapshot.Schema, ct);
        var (told, more) = (0L, true);
        // A batch of each in turn: what belongs together comes at about the same time.
        while (more)
        {
            more = false;
            if (await events.WaitToReadAsync(ct))
            {
                more = true;
                foreach (var look in await await events.ReadAsync(ct)) rows.Take(look);
            }
            if (await leaves.WaitToReadAsync(ct))
            {
                more = true;
                foreach (var leaf in await leaves.ReadAsync(ct))
                {
                    tree.Take(leaf);
                    rows.Take(leaf);
                }
            }
            if (rows.Events - told < 100_000) continue;
            told = rows.Events;
            progress.Report(string.Create(CultureInfo.InvariantCulture, $"events: {told:N0} of about {all:N0}; {rows.Streams.Count():N0} streams"));
        }
    }
}
