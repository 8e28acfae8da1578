using Custody.Evidence;

namespace Custody.Bats.Tests;

/// <summary>Invented people and the commands that most stories begin with.</summary>
static class Cast
{
    public static readonly PartyId Owner = Story<Bat>.Party('a');
    public static readonly PartyId House = Story<Bat>.Party('b');
    public static readonly PartyId Buyer = Story<Bat>.Party('c');
    public static readonly PartyId Carrier = Story<Bat>.Party('d');
    public static readonly PartyId Agent = Story<Bat>.Party('e');
    public static readonly PartyId Stranger = Story<Bat>.Party('f');
    public static readonly PartyId Insurer = Story<Bat>.Party('g');

    public static readonly PictureHash Picture = new(new string('A', 43));

    /// <summary>The owner's bat, kept by the house, which registered it.</summary>
    public static RegisterBat Registered => new(
        "2024-0001-X", Arrival.BroughtIn, Owner, House, AssertionBasis.HouseRecord, [new(Owner, Fraction.Whole)],
            AssertionBasis.HoldersWord,
        "a bat", null, null)
    { By = House };

    /// <summary>A registered bat: entry 1.</summary>
    public static Story<Bat> ABat(char letter = '0') => new Story<Bat>(letter: letter).Given(Registered);

    /// <summary>An entry of one story, made citable in another.</summary>
    public static Reference Cite(this Story<Bat> story, Story<Bat> other, long n)
    {
        story.Citing(other.Entries[(int)n - 1]);
        return other.Entries[(int)n - 1].Reference;
    }

    public static ReleaseBat Release(PartyId by, PartyId to, HandoverPurpose purpose = HandoverPurpose.Return,
        Attestation attestation = Attestation.Account) =>
        new(to, purpose, attestation, purpose == HandoverPurpose.Loan ? Edtf.Parse("2024-06") : null, null, null, null, null, null,
            null, null)
        { By = by };

    public static ReceiveBat Receive(PartyId by, long handover, PartyId? receiver = null, Attestation attestation = Attestation.Account) =>
        new(handover, receiver, attestation, SealFound.NoSeal, null, IdentityResult.NotChecked, null, null, null, null, null) { By = by };

    public static RecordAuthority Authorise(PartyId by, PartyId holder, PartyId principal, AuthorisedAct act,
        AssertionBasis basis = AssertionBasis.HoldersWord) =>
        new(holder, principal, AuthorityKind.Agent, [act], null, null, basis, null, null) { By = by };

    public static PlaceHold HoldOn(params HoldScope[] scope) =>
        new(scope, HoldGround.HouseDecision, Edtf.Parse("2024-09"), "a reason", null) { By = House };

    public static RaiseClaim ClaimBy(PartyId claimant, ClaimKind kind = ClaimKind.Title) =>
        new(kind, claimant, AssertionBasis.Letter, "a text", null) { By = House };

    public static Quantity Inches(string value) => Quantity.Parse(value, "[in_i]");

    public static RecordBaseline BaselineTaken => new(
        [.. Enum.GetValues<FixedView>().Select(v => new ViewPictured(v, Picture))], Inches("34.0"), Quantity.Parse("32.5", "[oz_av]"),
        [new(Inches("6"), Inches("3.25"))], null, "by calliper")
    { By = House };
}
