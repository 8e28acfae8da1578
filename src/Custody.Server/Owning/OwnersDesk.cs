using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Private;
using Custody.Server.Readings;
using Custody.Server.Recording;

namespace Custody.Server.Owning;

/// <summary>How a bat stands to an owner.</summary>
public enum OwnStanding
{
    /// <summary>Holds title as asserted, whole or in part.</summary>
    Holds,

    /// <summary>Has it, or it is on the way to or from them, or consigned by them, without holding title.</summary>
    Keeps,

    /// <summary>Neither any more: what became of it since is no longer theirs to see.</summary>
    Before,
}

/// <summary>A bat of an owner.</summary>
/// <param name="Alias">The owner on that bat.</param>
public sealed record OwnBat(Reading Reading, Alias Alias, OwnStanding Standing)
{
    public Bat Bat => Reading.State;
}

/// <summary>What is an owner's to see and to prove: the bats of the party that the account acts for, and no other.</summary>
public sealed class OwnersDesk(ReadingDesk desk, BatFinder bats, AliasBook aliases)
{
    /// <summary>Every bat in which the viewer's party has a part; which of them are theirs to see, <see cref="OwnBats"/> decides.</summary>
    public async Task<IReadOnlyList<OwnBat>> Of(Viewer viewer, CancellationToken ct) =>
        viewer.Party is { } party && await desk.BatsOf(party, ct) is { } found ? [.. found.Select(f => new OwnBat(f.Reading, f.Alias, Standing(f.Reading.State, f.Alias)))] : [];

    /// <summary>A bat to which the viewer's party holds title as asserted, by number or stream name; null for every other, whether or not there is one.</summary>
    public async Task<OwnBat?> Held(Viewer viewer, string said, CancellationToken ct)
    {
        if (viewer.Party is not { } party || await bats.Find(said, ct) is not { } bat) return null;
        var stream = StreamName.Parse(bat.Id);
        if (await aliases.Of(stream, party, ct) is not { } alias || !bat.Title.IsHeldBy(alias)) return null;
        return await desk.HistoryOf(bat.Id, ct) is { } history ? new(history.AsCorrected(), alias, OwnStanding.Holds) : null;
    }

    static OwnStanding Standing(Bat bat, Alias alias) =>
        bat.Title.IsHeldBy(alias) ? OwnStanding.Holds : OwnBats.Concerns(bat, alias) ? OwnStanding.Keeps : OwnStanding.Before;
}
