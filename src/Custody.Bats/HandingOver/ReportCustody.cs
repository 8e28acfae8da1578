using Custody.Evidence;

namespace Custody.Bats;

/// <summary>As what someone is said to have kept the bat.</summary>
public enum CustodyCapacity
{
    NotSaid,
    Owner,
    Borrower,
    Club,
    Player,
    House,
    Carrier,
    Storage,
    Exhibitor,
    Repairer,
    Finder,
}

/// <summary>Report who kept the bat elsewhere or before, as attested; present custody does not move.</summary>
/// <param name="From">Since when they are said to have kept it (EDTF).</param>
/// <param name="Until">Until when (EDTF).</param>
public sealed record ReportCustody(
    PartyId Keeper, CustodyCapacity Capacity, Edtf? From, Edtf? Until, AssertionBasis Basis, IReadOnlyList<Irregularity>? Irregularities,
    string? Place, string? Account, string? DocumentHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new CustodyReported(
            people.Of(Keeper, Role.Custodian), Capacity, From, Until, Basis, [.. (Irregularities ?? []).Distinct().Order()], Place,
            Account, DocumentHash),
    ];
}

/// <summary>A reported keeper: a link of the chain of custody, told apart from acts.</summary>
public sealed record CustodyReported(
    Alias Keeper, CustodyCapacity Capacity, Edtf? From, Edtf? Until, AssertionBasis Basis, IReadOnlyList<Irregularity> Irregularities,
    Withheld<string>? Place, Withheld<string>? Account, Withheld<string>? DocumentHash) : BatFact
{
    public override bool IsReport => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited) =>
        Period.Refuse(From, Until, entry.Envelope.Recorded);

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat;
}
