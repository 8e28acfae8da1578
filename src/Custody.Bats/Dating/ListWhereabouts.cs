using Custody.Evidence;

namespace Custody.Bats;

/// <summary>A sign that a place left on bats, as stated: a rack colour, an ink, a stencil, a shipping or display mark.</summary>
public sealed record SignStated(FindingKind Kind, string? Name);

/// <summary>A sign; what it looks like is withheld. Keys are s1, s2, ...</summary>
public sealed record ContactSign(FindingKind Kind, Withheld<string>? Name) : IPart;

/// <summary>A place and time where the bat could have been, such as a club's season, as stated.</summary>
/// <param name="Leaves">Numbers of the signs it left.</param>
public sealed record PlaceStated(Edtf When, IReadOnlyList<int> Leaves, string? Name);

/// <summary>A place and time; its name is withheld. Keys are w1, w2, ...</summary>
public sealed record PlaceAndTime(Edtf When, IReadOnlyList<int> Leaves, Withheld<string>? Name) : IPart;

/// <summary>A finding that shows a sign.</summary>
/// <param name="Finding">Number of the finding in the examination.</param>
/// <param name="Proposed">Number of the place it is thought to come from, if one is proposed.</param>
public sealed record ContactSeen(int Finding, int Sign, int? Proposed) : IPart;

/// <summary>List where the bat could have been, with the signs each place left, and which findings of an examination show them.</summary>
/// <param name="Examination">Number of the <c>ExaminationOpened</c> whose findings are meant.</param>
/// <param name="Source">Number of the <c>SourceCited</c> the list stands in, if it does.</param>
/// <param name="Replaces">Number of the <c>WhereaboutsListed</c> it takes the place of.</param>
public sealed record ListWhereabouts(
    long Examination, IReadOnlyList<SignStated> Signs, IReadOnlyList<PlaceStated> Places, IReadOnlyList<ContactSeen> Contacts, long? Source, long? Replaces,
    string? Remarks) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new WhereaboutsListed(
            Examination, Numbered.By('s', Signs.Select(s => new ContactSign(s.Kind, s.Name))),
            Numbered.By('w', Places.Select(p => new PlaceAndTime(p.When, p.Leaves, p.Name))), Contacts, Source, Replaces, Remarks),
    ];
}

/// <summary>A dated list of where the bat could have been. An unlisted place is always possible.</summary>
public sealed record WhereaboutsListed(
    long Examination, Keyed<ContactSign> Signs, Keyed<PlaceAndTime> Places, IReadOnlyList<ContactSeen> Contacts, long? Source, long? Replaces,
    Withheld<string>? Remarks) : BatFact
{
    /// <summary>Clubs of a league over a player's whole life.</summary>
    public const int MostPlaces = 250;

    // What was locked, given or measured is revised or withdrawn by its own act; only what was typed beside it can be a slip of the pen.
    public override bool DecidesBy(string member) => true;

    public override IEnumerable<long> RestsOn => Source is { } source ? [Examination, source] : [Examination];
    public override IEnumerable<long> Fells => Replaces is { } old ? [old] : [];
    public override IEnumerable<long> Settles => Fells;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Grounds.Refuse(bat, bat.Examinations.ByEntry, Examination, "examination") is { } missing) return [missing];
        if (!bat.Corrections.Stands(bat.Examinations.ByEntry[Examination].Locked))
            return [new("findings-not-locked", "There are no locked findings to set against a list.", "Lock the findings first.")];
        return new[] { Source is { } source ? Sources.Refuse(bat, [source]) : null, Datings.RefuseList(bat, Replaces), RefuseContacts(bat) }.OfType<Refusal>();
    }

    Refusal? RefuseContacts(Bat bat) =>
        Places.Count is 0 or > MostPlaces || Contacts.Count == 0
            ? new("list-out-of-range", $"There are no contacts, no places, or more than {MostPlaces}.", "List the places that left such signs, and the findings that show them.")
        : Keyed('s', Signs.Keys) is not { } signs || Keyed('w', Places.Keys) is not { } places
            ? new("list-key", "A sign's key is not s and a number, or a place's not w and a number.", "Number them s1, s2 and w1, w2 and so on.")
        : Places.Values.Any(p => p.Leaves.Any(s => !signs.Contains(s))) || Contacts.Any(c => !signs.Contains(c.Sign))
            ? new("sign-unknown", "A place or contact names a sign that is not listed.", "List the sign.")
        : Contacts.Any(c => !bat.Examinations.ByEntry[Examination].Findings.ContainsKey(c.Finding)) || Contacts.DistinctBy(c => c.Finding).Count() != Contacts.Count
            ? new("contact-unknown", "A contact names no finding of the examination, or one finding twice.", "Give each finding at most one sign.")
        : Contacts.Any(c => c.Proposed is { } place && (!places.Contains(place) || !Places[Numbered.Key('w', place)].Leaves.Contains(c.Sign)))
            ? new("place-not-listed", "A proposed place is not in the list, or left no such sign.", "Propose places of the list.") : null;

    static HashSet<int>? Keyed(char letter, IEnumerable<string> keys)
    {
        var numbers = keys.Select(key => Numbered.NumberOf(letter, key)).ToList();
        return numbers.Contains(null) ? null : [.. numbers.OfType<int>()];
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with { Datings = bat.Datings.List(entry.N, Replaces) };
}
