using Custody.Evidence;

namespace Custody.Bats;

/// <summary>How the fit of a list of places came about.</summary>
public enum PlacesMethod
{
    /// <summary>Computed from the layers and the list, version 1 of the method.</summary>
    Contacts1,
}

/// <summary>Which places of a list fit one contact.</summary>
/// <param name="Finding">Number of the finding that shows the sign.</param>
/// <param name="Fitting">Numbers of the places that fit the whole sequence, in the list's order.</param>
/// <param name="Others">How many of them besides the one proposed; all where none is.</param>
public sealed record ContactPlaced(int Finding, IReadOnlyList<int> Fitting, int Others) : IPart;

/// <summary>A list of where the bat could have been that an opinion rests on, and how the layers fit it. A place that is not in the list is always possible.</summary>
/// <param name="List">Number of the <c>WhereaboutsListed</c>.</param>
/// <param name="Sequences">How many ways to take every contact from the list fit the layers.</param>
/// <param name="Complete">False when there are more than were counted.</param>
/// <param name="ProposedFits">Whether the places proposed fit; null when none is.</param>
public sealed record PlacesFound(
    PlacesMethod Method, long List, int Sequences, bool Complete, bool? ProposedFits, IReadOnlyList<ContactPlaced> Contacts) : IPart
{
    /// <summary>The fit as an opinion keeps it: places and findings by number.</summary>
    internal static PlacesFound Of(long list, WhereaboutsFit fit) => new(
        PlacesMethod.Contacts1, list, fit.Sequences, fit.IsComplete, fit.ProposedFits,
        [.. fit.Contacts.Select(c => new ContactPlaced(Number('f', c.Layer), [.. c.Fitting.Select(place => Number('w', place))], c.Others))]);

    static int Number(char letter, string key) => Numbered.NumberOf(letter, key)!.Value;

    internal static IEnumerable<Refusal> Refuse(IReadOnlyList<PlacesFound> places, IComputedOpinion opinion, Bat bat)
    {
        if (places.DistinctBy(p => p.List).Count() != places.Count)
            yield return new("list-twice", "One list of places stands twice.", "Name each list once.");
        if (places.Select(p => Datings.RefuseList(bat, p.List)).FirstOrDefault(r => r is not null) is { } refused)
        {
            yield return refused;
            yield break;
        }
        // A list rests on the examination whose findings it speaks of.
        if (places.Any(p => !opinion.Examinations.Any(e => bat.Corrections.RestedOnBy.GetValueOrDefault(e)?.Contains(p.List) == true)))
            yield return new("list-of-another-examination", "A list speaks of findings that the opinion does not rest on.", "Name the examination among what it rests on.");
    }
}
