using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Cosigning;
using Custody.Server.Log;
using Custody.Server.Recording;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.Auditing;

/// <summary>How the log stands, for who re-checks it and who runs it.</summary>
[MayUse(AccountRole.Auditor, AccountRole.Keeper)]
public sealed class RecordModel(LogDesk log, Leaves leaves, Checkpoints checkpoints, Histories histories, SequencerStanding standing, CosigningStanding cosigning, LedgerName ledger) : PageModel
{
    const int Most = 20;

    public string Origin => ledger.Origin;
    public long Size { get; private set; }
    public SignedCheckpoint? Newest { get; private set; }
    public IReadOnlyList<CheckpointListed> Listed { get; private set; } = [];
    public DateTimeOffset? Audited { get; private set; }
    public string Sequencer => standing.Trouble ?? standing.State.ToString().ToLowerInvariant();
    public string? Cosigners => cosigning.Said;
    public string Key => log.Key.ToString()!;

    public async Task OnGet()
    {
        var ct = HttpContext.RequestAborted;
        Size = await leaves.Size(ct);
        Newest = await log.Newest(ct);
        Listed = await checkpoints.List(long.MaxValue, Most, ct);
        var own = (await histories.All("ledger", ct))[0];
        Audited = (await histories.Open(own, ct)).LastOrDefault(e => e.Fact is Audited)?.Envelope.Recorded;
    }
}
