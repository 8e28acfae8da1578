using Custody.Evidence;

namespace Custody.Bats;

/// <summary>What was wrong with an entry.</summary>
public enum CorrectionKind
{
    Clerical,
    DidNotHappen,
    ConcernsAnotherBat,
}

/// <summary>What the other side of a two-sided act says to the correction.</summary>
public enum OtherSidesWord
{
    NotAsked,
    Given,
    ReasonStated,
}

/// <summary>Correct an entry of this bat. For one that concerns another bat: this command first, on the bat where it does not belong; then
/// the act on the bat where it does; then <see cref="LinkRestated"/> there, citing this correction. So each bat points to the other and
/// no entry needs a hash that does not exist yet.</summary>
/// <param name="Of">The entry to correct, by its exact hash.</param>
/// <param name="Pointer">Clerical only: JSON Pointer of the member, such as /body/place or /occurred.</param>
/// <param name="NewOpen">Clerical only: what should stand in an open member.</param>
/// <param name="NewWithheld">Clerical only: what should stand in a withheld member.</param>
/// <param name="OtherBat">Concerns another bat: the registration of that bat.</param>
/// <param name="OtherSide">For a two-sided act: who of its other side agrees.</param>
/// <param name="Reason">Needed where the other side of a two-sided act is not heard.</param>
public sealed record CorrectEntry(
    CorrectionKind Kind, Reference Of, string? Pointer, OpenValue? NewOpen, WithheldValue? NewWithheld, Reference? OtherBat, PartyId? OtherSide,
    string? Reason) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new EntryCorrected(
            Kind, Of, Pointer, NewOpen, OtherBat,
            OtherSide is not null ? OtherSidesWord.Given : Reason is not null ? OtherSidesWord.ReasonStated : OtherSidesWord.NotAsked,
            people.OfMaybe(OtherSide, Role.Other), Reason, NewWithheld?.Text, Lists.Kept(NewWithheld?.Texts), NewWithheld?.Money,
            NewWithheld?.Quantity, NewWithheld?.Date, NewWithheld?.Reference),
    ];
}

/// <summary>An entry was wrong. It stays readable; the old value is never repeated, and the new one is withheld where the old one was. All
/// corrections carry the same six withheld values, so that their number does not tell what kind of value was corrected.</summary>
public sealed record EntryCorrected(
    CorrectionKind Kind, Reference Of,
    [property: OpenText("a path of member names into an entry; any other is refused")] string? Pointer,
    OpenValue? NewOpen, Reference? OtherBat, OtherSidesWord Word, Alias? OtherSide,
    Withheld<string>? Reason, Withheld<string>? NewText, Withheld<IReadOnlyList<string>>? NewTexts, Withheld<Money>? NewMoney,
    Withheld<Quantity>? NewQuantity, Withheld<Edtf>? NewDate, Withheld<Reference>? NewReference) : BatFact
{
    public override bool AllowedAfterTheEnd => true;
    public override IEnumerable<long> Fells => [Of.N];
    public override IEnumerable<long> Settles => Kind == CorrectionKind.Clerical ? [] : [Of.N];
    public override IEnumerable<Reference> Cites => OtherBat is null ? [Of] : [Of, OtherBat];

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Of.Ledger is not null || Of.Stream != entry.Envelope.Stream || Of.N > bat.N || cited.Find(Of) is not { Fact: BatFact wrong })
        {
            yield return new("no-such-entry", "The correction does not name an entry of this bat.", "Name it by stream, number and exact hash.");
            yield break;
        }
        if (bat.Corrections.IsVoid(Of.N)) yield return new("entry-void", "That entry is void already.", "There is nothing left to correct.");
        if (Kind != CorrectionKind.Clerical && wrong is EntryCorrected or EntryConfirmed or EntryConfirmed2 or EntryRestated)
            yield return new("correction-stands", "A correction cannot be made undone.", "Correct the value again, or record the act anew.");
        foreach (var refusal in Kind == CorrectionKind.Clerical ? Clerical(wrong) : Void(bat, wrong)) yield return refusal;
        foreach (var refusal in Sides(entry, wrong)) yield return refusal;
        foreach (var refusal in Elsewhere(entry, cited)) yield return refusal;
    }

    IEnumerable<Refusal> Clerical(BatFact wrong)
    {
        if (Pointer is null || Target.Find(wrong, Pointer) is not { } target)
        {
            yield return new("no-such-member", "The pointer names nothing that can be corrected in that entry.", "Point to a member, such as /body/place.");
            yield break;
        }
        // Whose the bat is, who has it and what holds it are not slips of the pen; what was typed beside them, and when, can be.
        if (!target.IsWithheld && !target.IsOccurred && (wrong.MovesTitleCustodyOrHold || wrong.DecidesBy(char.ToUpperInvariant(target.Root[0]) + target.Root[1..])))
            yield return new("has-own-act", "Later decisions turn on that member.", "Record the act that changes it.");
        else if (target.IsWithheld ? NewOpen is not null : NewOpen is null || !target.Takes(NewOpen))
            yield return new("value-kind", "The new value is not of the kind that stands there.",
                "Give one value of that kind; withheld members take theirs withheld. Parties, entry numbers and references cannot be corrected.");
    }

    IEnumerable<Refusal> Void(Bat bat, BatFact wrong)
    {
        if (Pointer is not null || NewOpen is not null)
            yield return new("value-not-expected", "An entry that did not happen here takes no new value.", "Leave pointer and value out.");
        if (wrong.MovesTitleCustodyOrHold)
            yield return new("has-own-act", "Title, custody and holds are not corrected away.", "Record the act that moves them back.");
        else if (!StandsWithout(bat))
            yield return new("acted-upon", "Later entries stand on that one.", "Correct or end those first, the latest before the others.");
    }

    // Taking an entry away may bring an earlier lot, sale or consignment back to life: never a second one beside another.
    bool StandsWithout(Bat bat)
    {
        var (consignments, lots, sales) = (bat.Consignments.Without(Of.N), bat.Lots.Without(Of.N), bat.Sales.Without(Of.N));
        var open = lots.ByEntry.Values.Count(l => l.Standing == LotStanding.Offered);
        var agreed = sales.ByEntry.Values.Count(s => s.Standing == SaleStanding.Agreed);
        return consignments.ByEntry.Values.Count(c => !c.Ended) <= 1 && open + agreed <= 1
            && sales.ByEntry.Values.All(s => s.Lot is not { } lot || lots.ByEntry.ContainsKey(lot))
            && !(bat.Sales.ByEntry.GetValueOrDefault(Of.N)?.Steps.ContainsValue(SaleStanding.TitlePassed) ?? false);
    }

    IEnumerable<Refusal> Sides(Entry entry, BatFact wrong)
    {
        if ((Word == OtherSidesWord.Given) != OtherSide is not null)
            yield return new("other-side-unclear", "It is not clear who of the other side agreed.", "Name the one who gave their word.");
        else if (wrong.IsTwoSided && Word == OtherSidesWord.NotAsked)
            yield return new("other-side-unheard", "That act has two sides.", "Have the other side agree, or state a reason.");
        else if (OtherSide is { } side && (side == entry.Envelope.By || !wrong.Names().Contains(side)))
            yield return new("not-a-side", "Whoever agreed is not the other side of that act.", "Name the other side.");
    }

    IEnumerable<Refusal> Elsewhere(Entry entry, ICited cited)
    {
        if ((Kind == CorrectionKind.ConcernsAnotherBat) != OtherBat is not null)
            yield return new("other-bat-unclear", "Which other bat it concerns is not clear.", "Name the other bat for this kind of correction only.");
        else if (OtherBat is { } other && (other.Stream == entry.Envelope.Stream || cited.Find(other)?.Fact is not BatRegistered))
            yield return new("no-such-bat", "The other bat is not known here.", "Name the registration of another bat.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => Kind == CorrectionKind.Clerical ? bat : bat with
    {
        Corrections = bat.Corrections with { Voided = bat.Corrections.Voided.Add(Of.N) },
        Consignments = bat.Consignments.Without(Of.N),
        Lots = bat.Lots.Without(Of.N),
        Sales = bat.Sales.Without(Of.N),
    };

    /// <summary>The new withheld value as a member of this type holds it; null when it is not shown, or of another kind.</summary>
    internal object? NewWithheldAs(Type type) =>
        new object?[] { NewText, NewTexts, NewMoney, NewQuantity, NewDate, NewReference }.FirstOrDefault(v => v?.GetType() == type);
}

static class Lists
{
    // An interface has no implicit conversion into Withheld.
    public static Withheld<IReadOnlyList<string>>? Kept(IReadOnlyList<string>? texts) => texts is null ? null : new(texts);
}
