using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Report that someone acquired the bat elsewhere or before, as attested; present title does not move.</summary>
/// <param name="Share">Whole when not said otherwise.</param>
/// <param name="OutOf">From whom; null when not known.</param>
/// <param name="From">When title is said to have come to them (EDTF).</param>
/// <param name="Until">Until when they are said to have held it (EDTF).</param>
public sealed record ReportAcquisition(
    AcquisitionKind Kind, PartyId Holder, Fraction? Share, PartyId? OutOf, Edtf? From, Edtf? Until, AssertionBasis Basis,
    IReadOnlyList<Irregularity>? Irregularities, Money? Price, string? Place, string? Account, string? DocumentHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new AcquisitionReported(
            Kind, people.Of(Holder, Role.Owner), Share ?? Fraction.Whole, people.OfMaybe(OutOf, Role.Seller), From, Until, Basis,
            [.. (Irregularities ?? []).Distinct().Order()], Price, Place, Account, DocumentHash),
    ];
}

/// <summary>A reported acquisition: a link of the chain of title, told apart from acts.</summary>
public sealed record AcquisitionReported(
    AcquisitionKind Kind, Alias Holder, Fraction Share, Alias? OutOf, Edtf? From, Edtf? Until, AssertionBasis Basis,
    IReadOnlyList<Irregularity> Irregularities, Withheld<Money>? Price, Withheld<string>? Place, Withheld<string>? Account,
    Withheld<string>? DocumentHash) : BatFact
{
    public override bool IsReport => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (!Share.IsProper)
            yield return new("share-not-proper", "A share is more than nothing and at most the whole.",
                "Give the share as parts of a whole.");
        foreach (var refusal in Period.Refuse(From, Until, entry.Envelope.Recorded)) yield return refusal;
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat;
}
