using Custody.Bats;
using Microsoft.AspNetCore.Mvc.Rendering;

namespace Custody.Server.Examining;

/// <summary>People and firms of a bat's history, to choose from.</summary>
public static class BatParties
{
    /// <summary>A party as a form names it; null when it is none.</summary>
    public static PartyId? Read(string? said) => StreamName.TryParse(said ?? "", out var stream) && stream.Kind == "party" ? new PartyId(stream) : null;

    /// <summary>Those whose name and identity have not been erased, by alias; one may stand under several roles and is listed once.</summary>
    public static IEnumerable<(PartyId Party, string Name, Role Role)> In(Reading reading) => In(reading.Entries.Select(e => e.Entry));

    /// <summary>Those of any stream's entries.</summary>
    public static IEnumerable<(PartyId Party, string Name, Role Role)> In(IEnumerable<Entry> entries) => entries
        .SelectMany(e => e.Fact.Parties ?? []).Where(p => p.Value.PartyStream?.Value is not null && p.Value.Name?.Value is not null)
        .Select(p => (PartyId.Parse(p.Value.PartyStream!.Value!), p.Value.Name!.Value!, p.Value.Role)).DistinctBy(p => p.Item1);

    /// <summary>As choices of a field, the viewer's own party first.</summary>
    public static IEnumerable<SelectListItem> Choices(Reading reading, PartyId? own, params Role[] roles) =>
    [
        .. own is null ? Array.Empty<SelectListItem>() : [new SelectListItem("whom I act for", own.ToString())],
        .. In(reading).Where(p => p.Party != own && (roles.Length == 0 || roles.Contains(p.Role))).Select(p => new SelectListItem(p.Name, p.Party.ToString())),
    ];
}
