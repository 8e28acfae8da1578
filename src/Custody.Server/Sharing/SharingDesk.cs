using System.Security.Cryptography;
using System.Text;
using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Dossiers;
using Custody.Server.Private;
using Custody.Server.Recording;
using Custody.Transparency;

namespace Custody.Server.Sharing;

/// <summary>Shares dossiers by long random addresses that run out, and opens them for whoever was given one.</summary>
public sealed class SharingDesk(
    SharedTable table, SharedFiles files, DossierDesk dossiers, BatFinder bats, Restrictions restrictions, KeyRing keys, LedgerPlace place, TimeProvider clock)
{
    /// <summary>Longest time a link stands: what was shown once is not shown for ever by forgetting.</summary>
    public const int MostDays = 90;

    /// <summary>A new link; its address is told this once.</summary>
    public sealed record Made(string Token, SharedLink Link);

    /// <summary>A link as its owner sees it.</summary>
    public sealed record Listed(SharedLink Link, Bat Bat, IReadOnlyList<OpensOfDay> Opens, bool IsOpen);

    public DateTimeOffset Now => clock.GetUtcNow();

    /// <summary>Makes the dossier, keeps it outside the database, and gives an address for it.</summary>
    /// <param name="days">1 to <see cref="MostDays"/>.</param>
    public async Task<(Made? Done, Refusal? Refused)> Share(Bat bat, Reveal reveal, string? issuedFor, PartyId owner, int days, CancellationToken ct)
    {
        if (days is < 1 or > MostDays) return (null, new("share-days", "A link stands for 1 to 90 days.", "Choose a number of days between them."));
        if (keys.TagOf(owner.ToString()) is not { } tag) return (null, new("party-unknown", "Your account acts for nobody that this ledger knows.", "Ask the keeper to say for whom."));
        await Sweep(ct);
        var folder = HandingOut.NewFolder(place);
        try
        {
            var (done, refused) = await dossiers.Write(bat, reveal, EarlierHistories.None, folder, issuedFor, owner, ct);
            if (done is null) return (null, refused);
            var token = Crockford.Encode(RandomNumberGenerator.GetBytes(16));
            var now = Now;
            SharedLink link = new(
                DigestOf(token), StreamName.Parse(bat.Id), tag, done.Entries, done.Shown, [.. done.KeyIds.Append(keys.IdOf(owner.ToString())).Distinct()], Path.GetFileName(done.Path), now,
                now.AddDays(days), null);
            // The file first: an address never leads to nothing.
            if (!files.Put(link.Id, await File.ReadAllBytesAsync(done.Path, ct), link.KeyIds))
                return (null, new("erased-since", "What was to be shown was erased while the dossier was made.", "Choose again."));
            await table.Put(link, ct);
            return (new(token, link), null);
        }
        finally
        {
            await HandingOut.Forget(folder);
        }
    }

    /// <summary>The link behind an address, while it leads anywhere: not ended, not run out, nothing of it erased or restricted since, and its owner still a
    /// holder of title as asserted. Null otherwise; which of these it was is nobody's business.</summary>
    public async Task<SharedLink?> Find(string said, CancellationToken ct)
    {
        if (!Crockford.TryDecode(said, out var bits) || await table.Find(DigestOf(Crockford.Encode(bits)), ct) is not { } link || !link.IsOpen(Now)) return null;
        if (link.KeyIds.Intersect(await restrictions.Keys(ct)).Any()) return null;
        return await table.OwnerOn(link, ct) is { } alias && await bats.Find(link.Bat.ToString(), ct) is { } bat && bat.Title.IsHeldBy(alias) ? link : null;
    }

    /// <summary>The dossier, and one more open of today; null when one of its keys is gone.</summary>
    public async Task<byte[]?> Open(SharedLink link, CancellationToken ct)
    {
        if (files.Read(link.Id, link.KeyIds) is not { } bytes) return null;
        await table.Count(link.Token, DateOnly.FromDateTime(Now.UtcDateTime), ct);
        return bytes;
    }

    /// <summary>Everything that this owner shares or shared.</summary>
    public async Task<IReadOnlyList<Listed>> Of(PartyId owner, CancellationToken ct)
    {
        if (keys.TagOf(owner.ToString()) is not { } tag) return [];
        List<Listed> listed = [];
        foreach (var link in await table.Of(tag, ct))
            if (await bats.Find(link.Bat.ToString(), ct) is { } bat) listed.Add(new(link, bat, await table.Opens(link.Token, ct), link.IsOpen(Now)));
        return listed;
    }

    /// <summary>Ends a link; its file goes at once.</summary>
    /// <returns>False when this owner has no such link that stands.</returns>
    public async Task<bool> End(PartyId owner, string id, CancellationToken ct)
    {
        if (id.Length != 64 || !id.All(char.IsAsciiHexDigitLower) || keys.TagOf(owner.ToString()) is not { } tag) return false;
        if (!await table.End(Convert.FromHexString(id), tag, Now, ct)) return false;
        files.Delete(id);
        return true;
    }

    // Files of links that are over; a crash between ending and deleting leaves one until now.
    async Task Sweep(CancellationToken ct)
    {
        foreach (var link in await table.Over(Now, ct)) files.Delete(link.Id);
    }

    static byte[] DigestOf(string token) => SHA256.HashData(Encoding.UTF8.GetBytes("custody/shared-link/v1\n" + token));
}
