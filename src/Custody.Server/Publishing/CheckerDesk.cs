using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Recording;

namespace Custody.Server.Publishing;

/// <summary>Vouches for the offline checker page: its hash is an entry of the ledger's own stream, so that a reader can tell the page that this
/// ledger gave out from any other. The page itself stands in no dossier.</summary>
public sealed class CheckerDesk(Histories histories, Recorder recorder)
{
    /// <summary>Records the page's hash, unless the newest page that was recorded is this one.</summary>
    /// <returns>The number of the entry; or why nothing was recorded.</returns>
    public async Task<(long? Entry, Refusal? Refused)> Record(CancellationToken ct)
    {
        var own = (await histories.All("ledger", ct))[0];
        var entries = await histories.Open(own, ct);
        if (entries.LastOrDefault(e => e.Fact is CheckerPublished) is { Fact: CheckerPublished newest } told && newest.PageHash == CheckerPage.Sha256) return (told.N, null);
        var publish = new PublishChecker(CheckerPage.Sha256, CheckerPage.Bytes.Length) { By = PartyId.Ledger };
        return await recorder.Record(own, publish, new Request(ExpectedN: entries[^1].N), ct) switch
        {
            Recorded recorded => (recorded.Entries[0].N, null),
            Refused refused => (null, refused.Refusals[0]),
            _ => (null, new Refusal("conflict", "Something else was recorded on the ledger's own stream at the same moment.", "Run the command again.")),
        };
    }

    /// <summary>Writes the page into a folder.</summary>
    /// <returns>Its path.</returns>
    public static async Task<string> Write(DirectoryInfo folder, CancellationToken ct)
    {
        folder.Create();
        var path = Path.Combine(folder.FullName, CheckerPage.FileName);
        await File.WriteAllBytesAsync(path, CheckerPage.Bytes, ct);
        return path;
    }
}
