using Custody.Evidence;

namespace Custody.Bats;

/// <summary>State that for some time nobody knows who held or kept the bat, and what was searched for it (rule 1: a stated gap beats a
/// silent one).</summary>
/// <param name="From">Beginning of the gap (EDTF); at least one of the two dates is given.</param>
/// <param name="Until">End of the gap (EDTF).</param>
/// <param name="Searched">What was searched in vain; may be none.</param>
public sealed record StateGap(
    GapIn In, Edtf? From, Edtf? Until, IReadOnlyList<SearchedIn>? Searched, PartyId? SearchedBy, string? Account) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new GapStated(In, From, Until, [.. (Searched ?? []).Distinct().Order()], people.OfMaybe(SearchedBy, Role.Searcher), Account),
    ];
}

/// <summary>A stated gap.</summary>
public sealed record GapStated(
    GapIn In, Edtf? From, Edtf? Until, IReadOnlyList<SearchedIn> Searched, Alias? SearchedBy, Withheld<string>? Account) : BatFact
{
    public override bool IsReport => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (From is null && Until is null)
            yield return new("gap-without-bounds", "The gap has neither beginning nor end.",
                "Give at least one of the two, however vague.");
        foreach (var refusal in Period.Refuse(From, Until, entry.Envelope.Recorded)) yield return refusal;
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Searches = bat.Searches with { Gaps = bat.Searches.Gaps.Add(entry.N, In) },
    };
}
