using Custody.Bats;
using Custody.Evidence;
using Custody.Ledger;
using Custody.Server.Web.Pages;

namespace Custody.Server.Examining;

/// <summary>Findings in words, for lists and for the map.</summary>
public static class FindingLines
{
    public static string What(FindingKind kind, Presence presence) => $"{Words.Of(kind.ToString())}, {Words.Of(presence.ToString())}";

    /// <summary>A stage by its name.</summary>
    public static string Named(Stage stage) => stage == Stage.OthersOpinions ? "others' opinions" : Words.Of(stage.ToString());

    /// <summary>What was known before, by its name.</summary>
    public static string Named(KnownBefore known) => known == KnownBefore.OthersOpinions ? "others' opinions" : Words.Of(known.ToString());

    /// <summary>A place in words; empty where none was said.</summary>
    public static string Where(SurfacePlace? place, Showing showing)
    {
        if (place is null) return "";
        var along = place.To is null ? $"at {showing.Measure(place.From)}" : $"{showing.Measure(place.From)} to {showing.Measure(place.To)}";
        return place.Shape switch
        {
            SurfaceShape.Band => $"{along}, all the way round",
            SurfaceShape.Point => $"{along}, {showing.Measure(place.FromAngle)}",
            _ => $"{along}, {showing.Measure(place.FromAngle)} to {showing.Measure(place.ToAngle)}",
        };
    }

    public static UnrolledMap Map(Reading reading, IEnumerable<(string Key, FindingKind Kind, Presence Presence, SurfacePlace? Place)> findings) => new(
        reading.Shape(), findings.Where(f => f.Place is not null).Select(f => new MapMark(f.Key, What(f.Kind, f.Presence), f.Place!)));
}
