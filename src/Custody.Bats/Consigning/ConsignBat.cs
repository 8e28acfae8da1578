using System.Collections.Immutable;
using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Put a bat with a house to be sold. Title stays with the consignor; the terms are nobody else's business.</summary>
/// <param name="Attestation">How the consignor's word is attested when the house records it for them.</param>
/// <param name="Interests">What the house must declare: its own stock, an advance, a guarantee, a fee that hangs on the result.</param>
/// <param name="Commission">Per cent of the hammer price.</param>
/// <param name="PaperHash">SHA-256 of the signed agreement, when there is one.</param>
public sealed record ConsignBat(
    PartyId Consignor, PartyId House, Attestation Attestation, IReadOnlyList<Interest>? Interests, Money? Reserve, Quantity? Commission,
    string? Terms, string? PaperHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new BatConsigned(
            people.Of(Consignor, Role.Consignor), people.Of(House, Role.House), Attestation, Interests ?? [], Reserve, Commission, Terms,
            PaperHash),
    ];
}

/// <summary>The house may now offer and sell the bat for whoever holds its title.</summary>
public sealed record BatConsigned(
    Alias Consignor, Alias House, Attestation Attestation, IReadOnlyList<Interest> Interests,
    Withheld<Money>? Reserve, Withheld<Quantity>? Commission, Withheld<string>? Terms, Withheld<string>? PaperHash) : BatFact
{
    public override bool IsTwoSided => true;

    public override bool DecidesBy(string member) => member is nameof(Interests);

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        foreach (var refusal in bat.RefuseElsewhere()) yield return refusal;
        var recorded = entry.Envelope.Recorded;
        if (bat.Consignments.OpenFor(bat.Title) is not null)
            yield return new("already-consigned", "The bat is consigned already.", "End that consignment first.");
        if (bat.Sales.Agreed is { } sale)
            yield return new("already-sold", $"The bat is sold (entry {sale.Key}).", "Let title pass, or cancel the sale first.");
        if (!Mandate.Covers(bat, Consignor, AuthorisedAct.Consign, recorded))
            yield return new("no-mandate", "The consignor neither holds the whole title as asserted nor acts for all who do.",
                "Have every holder consign, or record their authority.");
        if (!Heard(bat, entry.Envelope.By, recorded))
            yield return new("consignor-unheard", "This is recorded without the consignor's word.",
                "Let the consignor confirm by account or link, or keep the signed paper.");
        foreach (var refusal in Declared.Check(bat, House, Interests)) yield return refusal;
    }

    bool Heard(Bat bat, Alias? by, DateTimeOffset recorded) =>
        by is { } actor && (bat.Authorities.Allow(actor, Consignor, AuthorisedAct.Consign, recorded)
            || (actor == House && Attestation is not Attestation.None));

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        // One made by former holders may still stand open in the books; it ends here.
        Consignments = bat.Consignments.EndedAt(entry.N) with
        {
            ByEntry = bat.Consignments.EndedAt(entry.N).ByEntry.Add(
                entry.N, new Consignment(Consignor, House, [.. bat.Title.Shares.Keys])),
        },
    };
}
