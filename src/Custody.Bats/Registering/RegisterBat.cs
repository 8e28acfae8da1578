using System.Collections.Immutable;
using Custody.Evidence;

namespace Custody.Bats;

/// <summary>How a bat came to the one who registers it.</summary>
public enum Arrival
{
    BroughtIn,
    Sent,
    FoundInStock,
    OwnCollection,
    FromClub,
    FromPlayer,
    FromEstate,
    Other,
}

/// <summary>What an assertion of title or custody rests on.</summary>
public enum AssertionBasis
{
    HoldersWord,
    Document,
    Letter,
    HouseRecord,
    CourtOrder,
    None,
}

/// <summary>A share of title claimed for a party.</summary>
public sealed record ShareOf(PartyId Party, Fraction Share);

/// <summary>Take a bat into the ledger: how it came, who presented it, who keeps it, and whose it is said to be.</summary>
/// <param name="ShortNumber">The number people read aloud, with its check character; null lets the server draw one.</param>
public sealed record RegisterBat(
    string? ShortNumber, Arrival Arrival, PartyId PresentedBy, PartyId? Custodian, AssertionBasis CustodyBasis,
    IReadOnlyList<ShareOf> Title, AssertionBasis TitleBasis, string? Description, string? Place, string? Circumstances) : BatCommand
{
    public override bool Begins => true;

    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new BatRegistered(
            ShortNumber ?? "", Arrival, people.Of(PresentedBy, Role.Presenter), people.OfMaybe(Custodian, Role.Custodian), CustodyBasis,
            [.. Title.Select(s => new TitleShare(people.Of(s.Party, Role.Owner), s.Share))], TitleBasis, Description, Place, Circumstances),
    ];
}

/// <summary>One share of title as asserted.</summary>
public sealed record TitleShare(Alias Holder, Fraction Share) : IPart
{
    /// <summary>Rule 1: shares sum to 1, each holder named once. An empty list says nothing and is not refused.</summary>
    public static IEnumerable<Refusal> Refuse(IReadOnlyList<TitleShare> shares)
    {
        if (shares.Count > 0 && !Fraction.SumToWhole(shares.Select(s => s.Share)))
            yield return new("shares-not-whole", "The shares of title do not sum to 1.",
                "Give every share, or none when title is not known.");
        if (shares.DistinctBy(s => s.Holder).Count() != shares.Count)
            yield return new("share-twice", "One holder stands twice in the shares of title.",
                "Name each holder once, with the whole share.");
    }
}

/// <summary>The bat's first entry. An empty title list says that title is not known.</summary>
public sealed record BatRegistered(
    [property: OpenText("the number people read aloud, drawn by the server")] string ShortNumber,
    Arrival Arrival, Alias PresentedBy, Alias? Custodian, AssertionBasis CustodyBasis, IReadOnlyList<TitleShare> Title, AssertionBasis TitleBasis,
    Withheld<string>? Description, Withheld<string>? Place, Withheld<string>? Circumstances) : BatFact
{
    public override bool MovesTitleCustodyOrHold => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (bat.Exists)
            yield return new("already-registered", "This bat is registered already.", "Record the act on the bat as it stands.");
        foreach (var refusal in TitleShare.Refuse(Title)) yield return refusal;
        if (Title.Count > 0 && TitleBasis == AssertionBasis.None)
            yield return new("title-without-basis", "Title is asserted on no basis.", "Say what the assertion rests on.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Registration = new Registration(ShortNumber, Voided: false)
        {
            By = entry.Envelope.By,
            Recorded = entry.Envelope.Recorded,
            Hash = entry.Hash,
        },
        Keeping = new Keeping(Custodian, null, entry.N),
        Title = Title.Count == 0
            ? Bats.Title.Unknown
            : Bats.Title.AssertedBy(Title, entry.N),
    };
}
