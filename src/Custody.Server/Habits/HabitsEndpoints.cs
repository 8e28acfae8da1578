using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Wolverine.Http;

namespace Custody.Server.Habits;

/// <summary>Doorways of the acts of this folder. No rule stands here.</summary>
[MayUse(AccountRole.Examiner)]
public static class HabitsEndpoints
{
    /// <summary>Define a characteristic of the file.</summary>
    [WolverinePost("/api/habit-files/{id}/define-characteristic")]
    public static Task<IResult> DefineCharacteristic(string id, DefineCharacteristic command, ActDoor door, HttpContext http) => door.Act("habits", id, command, http);

    /// <summary>Open a file of one player's habits.</summary>
    [WolverinePost("/api/habit-files")]
    public static Task<IResult> OpenHabitFile(OpenHabitFile command, ActDoor door, HttpContext http) => door.Begin("habits", command, http);

    /// <summary>Record an occasion on which the player's bat can be seen or is told of.</summary>
    [WolverinePost("/api/habit-files/{id}/record-occasion")]
    public static Task<IResult> RecordOccasion(string id, RecordOccasion command, ActDoor door, HttpContext http) => door.Act("habits", id, command, http);

    /// <summary>Record where on a bat the player is usually seen to do one thing, from the occasions that show it.</summary>
    [WolverinePost("/api/habit-files/{id}/record-usual-zone")]
    public static Task<IResult> RecordUsualZone(string id, RecordUsualZone command, ActDoor door, HttpContext http) => door.Act("habits", id, command, http);

    /// <summary>Make a version of the file's counts, for opinions to cite.</summary>
    [WolverinePost("/api/habit-files/{id}/version-counts")]
    public static Task<IResult> VersionCounts(string id, VersionCounts command, ActDoor door, HttpContext http) => door.Act("habits", id, command, http);

    /// <summary>Take an occasion out of the counts to come; versions already made keep it.</summary>
    [WolverinePost("/api/habit-files/{id}/withdraw-occasion")]
    public static Task<IResult> WithdrawOccasion(string id, WithdrawOccasion command, ActDoor door, HttpContext http) => door.Act("habits", id, command, http);
}
