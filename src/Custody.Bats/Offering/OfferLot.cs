using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Offer a bat in a sale, alone or with others in one lot. For several bats: one command on each, same terms and number.</summary>
/// <param name="Terms">Entry of the sale's stream that set the terms now in force.</param>
/// <param name="Number">Lot number as printed: up to six digits and at most one letter.</param>
/// <param name="Bats">How many bats the lot holds.</param>
/// <param name="Grounds">Entries of this bat that the lot's text rests on: opinions, sources, examinations.</param>
public sealed record OfferLot(
    Reference Terms, string Number, int Bats, PartyId House, IReadOnlyList<Interest>? Interests, IReadOnlyList<long>? Grounds,
    string? Title, string? Text, Money? LowEstimate, Money? HighEstimate, Money? Reserve) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new LotOffered(
            Terms, Number, Bats, people.Of(House, Role.House), Interests ?? [], Grounds ?? [], Title, Text, LowEstimate, HighEstimate, Reserve),
    ];
}

/// <summary>The bat is open to bids.</summary>
public sealed record LotOffered(
    Reference Terms,
    [property: OpenText("a lot number: up to six digits and at most one letter, checked")] string Number,
    int Bats, Alias House, IReadOnlyList<Interest> Interests, IReadOnlyList<long> Grounds,
    Withheld<string>? Title, Withheld<string>? Text, Withheld<Money>? LowEstimate, Withheld<Money>? HighEstimate,
    Withheld<Money>? Reserve) : BatFact
{
    public override IEnumerable<long> RestsOn => Grounds;
    public override IEnumerable<Reference> Cites => [Terms];

    public override bool DecidesBy(string member) => member is nameof(Number) or nameof(Bats) or nameof(Interests);

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited) =>
        OfferRules.Check(bat, entry, cited, House, Terms, Number, Bats, Interests, Grounds);

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with { Lots = bat.Lots.Begin(entry.N, Terms, Number, House) };
}
