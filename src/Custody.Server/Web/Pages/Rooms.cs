using Custody.Server.Accounts;

namespace Custody.Server.Web.Pages;

/// <summary>A room of the house: where somebody with one of these roles works.</summary>
/// <param name="Says">What is done there, for the front page.</param>
public sealed record Room(string Name, string Address, string Says, params AccountRole[] For);

/// <summary>The rooms, in the order in which they are shown.</summary>
public static class Rooms
{
    public static IReadOnlyList<Room> All { get; } =
    [
        new("Desk", "/desk", "What waits on any bat: hand-overs, holds, sales, examinations left open.", AccountRole.Registrar, AccountRole.Cataloguer, AccountRole.Auditor),
        new("Sales", "/sales", "Announce sales, put lots into them, enter results, give notices.", AccountRole.Cataloguer, AccountRole.Registrar, AccountRole.Auditor),
        new("Bench", "/bench", "Examine blind, weigh what was found, give, revise or withdraw an opinion.", AccountRole.Examiner),
        new("My bats", "/mine", "What is recorded of your bats, and where they are.", AccountRole.Owner),
        new("Record", "/record", "The log, its checkpoints and cosigners, the last audit.", AccountRole.Auditor, AccountRole.Keeper),
        new("Accounts", "/accounts", "Invite people, end sessions, close accounts.", AccountRole.Keeper),
    ];

    public static IEnumerable<Room> Of(Viewer viewer) => All.Where(r => viewer.IsAny(r.For));

    public static bool IsIn(Room room, PathString path) => path.StartsWithSegments(room.Address, StringComparison.Ordinal);
}
