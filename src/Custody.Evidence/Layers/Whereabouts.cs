using System.Diagnostics.CodeAnalysis;

namespace Custody.Evidence;

/// <summary>A place and time of the list where a bat could have been, such as a club's season, with the marks it left on bats.</summary>
/// <param name="Id">Name by which results refer to it.</param>
/// <param name="When">From when to when.</param>
/// <param name="Leaves">Signs it left: a rack colour, an ink, a stencil, a shipping or display mark.</param>
public sealed record ListedPlace(string Id, Edtf When, IReadOnlyList<string> Leaves);

/// <summary>A layer of the bat that shows a sign.</summary>
/// <param name="Layer">Name of the layer.</param>
/// <param name="Sign">The sign it shows.</param>
public sealed record DatedContact(string Layer, string Sign);

/// <summary>What the list says of one contact.</summary>
/// <param name="Layer">The layer.</param>
/// <param name="Sign">Its sign.</param>
/// <param name="Candidates">Places of the list that left this sign.</param>
/// <param name="Fitting">Those of them that fit the whole sequence, in order of the list.</param>
/// <param name="Others">How many fit besides the one proposed; all that fit when none is.</param>
public sealed record ContactFit(string Layer, string Sign, IReadOnlyList<string> Candidates, IReadOnlyList<string> Fitting, int Others);

/// <summary>How the contacts fit a list of where the bat could have been.</summary>
/// <param name="Method">Name and version of the method.</param>
/// <param name="Contacts">Contact by contact, earliest first.</param>
/// <param name="Sequences">
/// How many ways to take every contact that the list can explain from the list fit the layers, at most <see cref="Evidence.Contacts.MostSequences"/>.
/// </param>
/// <param name="IsComplete">False when there are more than were counted; then a place not listed as fitting may fit too.</param>
/// <param name="ProposedFits">Whether the proposed places fit; null when none are proposed.</param>
/// <param name="Unlisted">Always true: a place that is not in the list can explain any contact.</param>
public sealed record WhereaboutsFit(string Method, IReadOnlyList<ContactFit> Contacts, int Sequences, bool IsComplete, bool? ProposedFits, bool Unlisted = true);

/// <summary>
/// Sets layers that show a sign against a dated list of where the bat could have been. A sequence fits when days can be found, one within each
/// place's dates, that never go back from a lower layer to an upper one. Taking the earliest possible day each time is exact. Common practice.
/// </summary>
public static class Contacts
{
    /// <summary>Name and version of the method, to stand beside each result.</summary>
    public const string Method = "contacts/1";

    /// <summary>Most sequences counted.</summary>
    public const int MostSequences = 10_000;

    /// <summary>
    /// Finds what fits. Refuses <c>contact-unknown</c> (a contact names no layer, or one twice), <c>place-twice</c> (two places of one name) and
    /// <c>place-not-listed</c> (a proposed place is not in the list or left no such sign).
    /// </summary>
    /// <param name="order">The layers.</param>
    /// <param name="contacts">Layers with signs.</param>
    /// <param name="list">Where the bat could have been.</param>
    /// <param name="proposed">Place proposed for each layer; may be empty or partial.</param>
    /// <param name="fit">The result.</param>
    /// <param name="refusal">Why there is none.</param>
    public static bool TryFit(LayerOrder order, IReadOnlyList<DatedContact> contacts, IReadOnlyList<ListedPlace> list, IReadOnlyDictionary<string, string> proposed,
        [NotNullWhen(true)] out WhereaboutsFit? fit, [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        fit = null;
        refusal = Refusal(order, contacts, list, proposed);
        if (refusal is not null)
            return false;
        var search = new ContactSearch(order, contacts, list);
        var (sequences, complete) = search.Run(null);
        var fits = proposed.Count == 0 ? (bool?)null : new ContactSearch(order, contacts, list).Run(proposed).Sequences > 0;
        fit = new WhereaboutsFit(Method, [.. search.Fits(proposed)], sequences, complete, fits);
        return true;
    }

    static EvidenceRefusal? Refusal(LayerOrder order, IReadOnlyList<DatedContact> contacts, IReadOnlyList<ListedPlace> list, IReadOnlyDictionary<string, string> proposed) =>
        contacts.Any(c => !order.Layers.Contains(c.Layer)) || contacts.DistinctBy(c => c.Layer, StringComparer.Ordinal).Count() != contacts.Count
            ? new("contact-unknown", "A contact names no layer of the bat, or one layer twice.", "Give each layer at most one sign.")
        : list.DistinctBy(p => p.Id, StringComparer.Ordinal).Count() != list.Count ? new("place-twice", "Two places of the list have one name.", "Name each once.")
        : proposed.Any(p => !list.Any(l => l.Id == p.Value && contacts.Any(c => c.Layer == p.Key && l.Leaves.Contains(c.Sign))))
            ? new("place-not-listed", "A proposed place is not in the list, or left no such sign.", "Propose places of the list.") : null;
}

/// <summary>Tries places for contacts in the order of the layers.</summary>
sealed class ContactSearch
{
    // Steps after which the search stops: a list of a hundred places for a dozen contacts of one colour would not end in a lifetime.
    const int MostSteps = 200_000;

    readonly List<(DatedContact Contact, List<(ListedPlace Place, DaySet Days)> Candidates, List<int> Before)> steps;
    readonly List<HashSet<string>> fitting;
    readonly long[] day;
    readonly int[] chosen;
    int taken, sequences;

    public ContactSearch(LayerOrder order, IReadOnlyList<DatedContact> contacts, IReadOnlyList<ListedPlace> list)
    {
        var before = order.Ordered.Select(p => (p.Before, p.After)).ToHashSet();
        var ordered = order.Layers.Select(l => contacts.FirstOrDefault(c => c.Layer == l)).OfType<DatedContact>().ToList();
        steps = [.. ordered.Select((c, i) => (c, Candidates(c, list), Enumerable.Range(0, i).Where(j => before.Contains((ordered[j].Layer, c.Layer))).ToList()))];
        fitting = [.. steps.Select(_ => new HashSet<string>(StringComparer.Ordinal))];
        (day, chosen) = (new long[steps.Count], new int[steps.Count]);
    }

    static List<(ListedPlace, DaySet)> Candidates(DatedContact contact, IReadOnlyList<ListedPlace> list) =>
        [.. list.Where(p => p.Leaves.Contains(contact.Sign)).Select(p => (p, DaySet.Of(p.When.Alternatives.Select(a => new DayRun(a.StartLo, a.EndHi)))))];

    public (int Sequences, bool IsComplete) Run(IReadOnlyDictionary<string, string>? only)
    {
        Try(0, only);
        return (sequences, taken < MostSteps && sequences < Contacts.MostSequences);
    }

    void Try(int i, IReadOnlyDictionary<string, string>? only)
    {
        if (i == steps.Count)
        {
            sequences++;
            for (var j = 0; j < i; j++)
            {
                if (chosen[j] >= 0)
                    fitting[j].Add(steps[j].Candidates[chosen[j]].Place.Id);
            }
            return;
        }
        var (contact, candidates, before) = steps[i];
        var earliest = before.Select(j => day[j]).DefaultIfEmpty(Alternative.Past).Max();
        // Nothing listed left this sign, or nothing is proposed for it: a place not listed, at any time that the layers allow.
        if (candidates.Count == 0 || (only is not null && !only.ContainsKey(contact.Layer)))
        {
            (day[i], chosen[i]) = (earliest, -1);
            Try(i + 1, only);
            return;
        }
        for (var c = 0; c < candidates.Count && taken < MostSteps && sequences < Contacts.MostSequences; c++)
        {
            if (only is not null && only.TryGetValue(contact.Layer, out var place) && place != candidates[c].Place.Id)
                continue;
            taken++;
            if (candidates[c].Days.FirstFrom(earliest) is not { } first)
                continue;
            (day[i], chosen[i]) = (first, c);
            Try(i + 1, only);
        }
    }

    public IEnumerable<ContactFit> Fits(IReadOnlyDictionary<string, string> proposed) => steps.Select((s, i) =>
    {
        var fits = s.Candidates.Select(c => c.Place.Id).Where(fitting[i].Contains).ToList();
        var own = proposed.GetValueOrDefault(s.Contact.Layer);
        return new ContactFit(s.Contact.Layer, s.Contact.Sign, [.. s.Candidates.Select(c => c.Place.Id)], fits, fits.Count(f => f != own));
    });
}
