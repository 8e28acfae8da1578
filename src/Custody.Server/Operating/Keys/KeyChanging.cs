using Custody.Bats;
using Custody.Server.Log;
using Custody.Server.Recording;

namespace Custody.Server.Operating.Keys;

/// <summary>The commands <c>key change</c> and <c>key compromised</c>.</summary>
static class KeyChanging
{
    /// <param name="Next">Where the promised key was kept; null when it lies in the data folder.</param>
    /// <param name="TakeOut">Where the key promised now is taken away; null when it stays in the data folder for now.</param>
    public sealed record Wish(bool Compromised, FileInfo? Next, Passphrase Passphrase, FileInfo? TakeOut);

    public static async Task<int> Run(DirectoryInfo data, Wish wish, CancellationToken ct)
    {
        if (wish.TakeOut is not null && File.Exists(wish.TakeOut.FullName)) throw new LogFault("file-exists", $"There is a file {wish.TakeOut.FullName} already. Name another: a key is not written over anything.");
        await using var ledger = await OpenedLedger.Open(data, ct, wish.Passphrase);
        var place = ledger.Get<LedgerPlace>();
        var folder = ledger.Get<PresentKey>().Folder;
        if (wish.Next is not null) KeyFiles.BringBack(folder, place.Origin, wish.Next);
        var own = (await ledger.Get<Histories>().All("ledger", ct))[0];
        LedgerCommand Act(string note) => wish.Compromised ? new DeclareKeyCompromised(note) { By = PartyId.Ledger } : new RotateKey(note) { By = PartyId.Ledger };
        var outcome = await ledger.Get<KeyHandover>().Change(note => ledger.Get<Recorder>().Record(own, Act(note), new Request(), ct), wish.Compromised, ct);
        if (outcome is Refused { Refusals: [var first, ..] }) return Complaints.Say(first);
        if (outcome is not Recorded) return Complaints.Say(new("not-recorded", "Somebody else's act came first.", "Try again."));
        // Under a checkpoint by the new key: from here on everybody who follows the ledger finds it.
        await ledger.Get<KeyHandover>().Published(ct);
        if (wish.TakeOut is not null) KeyFiles.Move(folder, place.Origin, wish.TakeOut);
        if (wish.Compromised) Console.WriteLine("What the old key signed counts only if it was cosigned or time-stamped before now. Tell those who trusted it, and give them the new key yourself.");
        return KeyFiles.Show(data);
    }
}
