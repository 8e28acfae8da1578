using System.Globalization;
using Custody.Evidence;

namespace Custody.Bats;

/// <summary>What an opinion keeps beside weights, seasons and grade, as texts: overlaps with usual zones, and the fit of lists of places.</summary>
static class Surroundings
{
    /// <summary>Every such number as recorded and as it comes out; one that is only in one of the two does not hold.</summary>
    internal static IEnumerable<NumberChecked> Checked(IComputedOpinion? opinion, OpinionNumbers? numbers)
    {
        if (opinion is null || numbers is null || (opinion.Zones is null && opinion.Places.Count == 0)) yield break;
        var (recorded, again) = (Texts(opinion.Zones, opinion.Places), Texts(numbers.Zones, numbers.Places));
        foreach (var what in recorded.Keys.Union(again.Keys, StringComparer.Ordinal).Order(StringComparer.Ordinal))
        {
            var computed = again.GetValueOrDefault(what);
            yield return OpinionRecomputed.Checked(
                what, recorded.GetValueOrDefault(what), computed, what.StartsWith(List, StringComparison.Ordinal) ? Contacts.Method : SurfaceMap.Method,
                computed is null ? numbers.WhyNot ?? "no-such-overlap" : null);
        }
    }

    const string List = "list of places ";

    /// <summary>By what each says, in words that never change.</summary>
    internal static SortedDictionary<string, string> Texts(ZonesFound? zones, IReadOnlyList<PlacesFound> places)
    {
        SortedDictionary<string, string> texts = new(StringComparer.Ordinal);
        if (zones is not null)
        {
            texts["usual zones, shape of the bat"] = $"entry {Number(zones.Baseline)}";
            texts["usual zones left out as the bat's own"] = zones.LeftOut.Count == 0 ? "none" : string.Join(", ", zones.LeftOut.Select(Number));
            foreach (var met in zones.Met)
                texts[$"usual zone {Number(met.Zone.N)}, examination {Number(met.Examination)} finding f{Number(met.Finding)}"] = Told(met);
        }
        foreach (var list in places)
        {
            texts[$"{List}{Number(list.List)}, sequences"] = $"{Number(list.Sequences)}{(list.Complete ? "" : " or more")}"
                + (list.ProposedFits is { } fits ? fits ? ", the proposed places fit" : ", the proposed places do not fit" : "");
            foreach (var contact in list.Contacts)
                texts[$"{List}{Number(list.List)}, finding f{Number(contact.Finding)}"] =
                    $"{(contact.Fitting.Count == 0 ? "none listed" : string.Join(", ", contact.Fitting.Select(w => "w" + Number(w))))}; {Number(contact.Others)} others fit";
        }
        return texts;
    }

    // Every number, also where they do not meet: what is kept is what has to come out again.
    internal static string Told(ZoneMet met) =>
        $"{(met.Touch ? "" : "apart, ")}{met.Along.Value} in along, {(met.Round is { } round ? $"{round.Value} deg round" : "angles not compared")}, {met.OfFinding.Value} % of the finding in the zone";

    static string Number(long n) => n.ToString(CultureInfo.InvariantCulture);
}
