using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Offer a bat again that was passed, withdrawn, not paid for or came back.</summary>
/// <param name="Earlier">Number of the earlier <c>LotOffered</c> or <c>LotReoffered</c>.</param>
public sealed record ReofferLot(
    long Earlier, Reference Terms, string Number, int Bats, PartyId House, IReadOnlyList<Interest>? Interests, IReadOnlyList<long>? Grounds,
    string? Title, string? Text, Money? LowEstimate, Money? HighEstimate, Money? Reserve) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new LotReoffered(
            Earlier, Terms, Number, Bats, people.Of(House, Role.House), Interests ?? [], Grounds ?? [], Title, Text, LowEstimate, HighEstimate,
            Reserve),
    ];
}

/// <summary>The bat is open to bids once more. A new lot, known by this entry's number; the earlier one stays as it ended.</summary>
public sealed record LotReoffered(
    long Earlier, Reference Terms,
    [property: OpenText("a lot number: up to six digits and at most one letter, checked")] string Number,
    int Bats, Alias House, IReadOnlyList<Interest> Interests, IReadOnlyList<long> Grounds,
    Withheld<string>? Title, Withheld<string>? Text, Withheld<Money>? LowEstimate, Withheld<Money>? HighEstimate,
    Withheld<Money>? Reserve) : BatFact
{
    // The earlier lot is history, not ground: what fell under its text need not fall under this one.
    public override IEnumerable<long> RestsOn => Grounds;
    public override IEnumerable<Reference> Cites => [Terms];

    public override bool DecidesBy(string member) => member is nameof(Number) or nameof(Bats) or nameof(Interests);

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (!bat.Lots.ByEntry.TryGetValue(Earlier, out var earlier))
            yield return new("no-such-lot", $"Entry {Earlier} is not a lot of this bat.", "Name the earlier lot, or offer the bat anew.");
        else if (earlier.Standing is LotStanding.Reoffered)
            yield return new("reoffered-already", "That lot was offered again already.", "Name the latest lot.");
        foreach (var refusal in OfferRules.Check(bat, entry, cited, House, Terms, Number, Bats, Interests, Grounds)) yield return refusal;
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Lots = bat.Lots.Step(Earlier, entry.N, LotStanding.Reoffered).Begin(entry.N, Terms, Number, House),
    };
}
