using System.Globalization;
using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.BackingUp;
using Custody.Server.Cosigning;
using Custody.Server.Log;
using Custody.Server.Observing;
using Custody.Server.Recording;
using Custody.Server.Stamping;
using Custody.Transparency;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.Auditing;

/// <summary>How the log stands, for who re-checks it and who runs it.</summary>
[MayUse(AccountRole.Auditor, AccountRole.Keeper)]
public sealed class RecordModel(
    LogDesk log, Leaves leaves, Checkpoints checkpoints, Histories histories, SequencerStanding sequencer, CosigningStanding cosigning, CosignSettings policy, Cosigners cosigners,
    Stamper stamper, StampSettings stamping, PresentKey key, Readiness readiness, LedgerPlace place, AuditDesk audits) : PageModel
{
    const int Most = 20;

    /// <summary>Findings of the last audit that the page shows.</summary>
    public const int MostRows = 200;

    /// <summary>A checkpoint with who else vouches for it.</summary>
    public sealed record Line(CheckpointListed At, bool Cosigned, bool Stamped);

    /// <summary>An audit that was recorded.</summary>
    public sealed record AuditLine(long Entry, DateTimeOffset Recorded, Audited Found);

    /// <summary>Where an entry stands, as somebody asked.</summary>
    public sealed record Looked(string Stream, long N, long? Index, long? Checkpoint);

    public string Origin => place.Origin;
    public long Size { get; private set; }
    public SignedCheckpoint? Newest { get; private set; }
    public IReadOnlyList<string> NewestCosigners { get; private set; } = [];
    public IReadOnlyList<Line> Listed { get; private set; } = [];
    public IReadOnlyList<AuditLine> Audits { get; private set; } = [];
    public LedgerState? Ledger { get; private set; }
    public Standing Standing { get; private set; } = null!;
    public CosignPolicy? Policy { get; private set; }
    public string? PolicyFault { get; private set; }
    public string? LastStamp { get; private set; }
    public bool StampsAsked => stamping.Address is not null;
    public string Sequencer => sequencer.Trouble ?? sequencer.State.ToString().ToLowerInvariant();
    public string? Cosigning => cosigning.Said;
    public string Key => log.Key.ToString()!;

    /// <summary>Whether backups follow this ledger: only that they were asked for once is known here.</summary>
    public bool BackupAsked { get; private set; }

    /// <summary>What was asked about, as it was typed.</summary>
    public string? Asked { get; private set; }

    public Looked? Found { get; private set; }

    /// <summary>The audit under way; null when none is.</summary>
    public AuditUnderWay? UnderWay => audits.UnderWay;

    /// <summary>The last audit asked for from here; null when there was none.</summary>
    public LastAudit? LastAudit => audits.Last;

    /// <summary>How the audit stands, for the part of the page that keeps asking.</summary>
    public IActionResult OnGetAudit() => Partial("/Auditing/_Audit.cshtml", this);

    /// <summary>Asks for an audit; nothing is changed by it.</summary>
    /// <param name="values">Also withheld values and files.</param>
    /// <param name="states">Also the kept states.</param>
    /// <param name="record">The result becomes an entry of the ledger's own stream.</param>
    public IActionResult OnPostAudit(bool values, bool states, bool record)
    {
        TempData[Web.Pages.ActPage.DoneKey] = audits.Ask(new(new(values, states), record, Viewer.Of(User)!.Name))
            ? "The audit has begun. You can leave this page." : "An audit is under way already; its result will stand here.";
        return LocalRedirect("/record");
    }

    /// <param name="entry">STREAM n: an entry whose place in the log is asked for.</param>
    public async Task OnGet(string? entry)
    {
        var ct = HttpContext.RequestAborted;
        Size = await leaves.Size(ct);
        Newest = await log.Newest(ct);
        ReadPolicy();
        Listed = [.. (await checkpoints.List(long.MaxValue, Most, ct)).Select(c => new Line(c, cosigners.NoteAt(c.Size) is not null, stamper.At(c.Size) is not null))];
        var own = (await histories.All("ledger", ct))[0];
        Audits = [.. (await histories.Open(own, ct)).Where(e => e.Fact is Audited).Reverse().Take(5).Select(e => new AuditLine(e.N, e.Envelope.Recorded, (Audited)e.Fact))];
        Ledger = await key.Ledger(ct);
        Standing = await readiness.Look(ct);
        BackupAsked = BackupFollower.WasAsked(place.DataFolder);
        LastStamp = stamper.Sizes() is [.., var last] ? last.ToString(CultureInfo.InvariantCulture) : null;
        if (!string.IsNullOrWhiteSpace(entry)) await Look(entry.Trim(), ct);
    }

    void ReadPolicy()
    {
        try
        {
            Policy = policy.Now();
            if (Newest is { } newest && cosigners.NoteAt(newest.Checkpoint.Size) is { } bytes)
            {
                var note = SignedNote.Parse(bytes);
                NewestCosigners = [.. Policy.Cosigners.Where(c => note.Verify(c.Key).Holds).Select(c => c.Name)];
            }
        }
        catch (Malformed malformed)
        {
            PolicyFault = malformed.Sentence;
        }
    }

    async Task Look(string said, CancellationToken ct)
    {
        Asked = said;
        var words = said.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries);
        if (words is not [var name, var number] || !StreamName.TryParse(name, out var stream) || !long.TryParse(number, NumberStyles.None, CultureInfo.InvariantCulture, out var n)) return;
        var index = await leaves.IndexOf(stream.ToString(), n, ct);
        Found = new(stream.ToString(), n, index, index is { } i && Newest is { } newest && i < newest.Checkpoint.Size ? newest.Checkpoint.Size : null);
    }
}
