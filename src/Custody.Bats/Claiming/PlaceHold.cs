using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Stop acts of the named scope, and nothing else, until the hold is lifted.</summary>
/// <param name="Scope">At least one.</param>
/// <param name="Review">When it must be looked at again (EDTF).</param>
/// <param name="Reason">Withheld; the ground is public.</param>
public sealed record PlaceHold(
    IReadOnlyList<HoldScope> Scope, HoldGround Ground, Edtf Review, string? Reason, string? DocumentHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new HoldPlaced([.. Scope.Distinct().Order()], Ground, Review, Reason, DocumentHash)];
}

/// <summary>A hold is in force. A review date that has passed makes it open work and does not lift it.</summary>
public sealed record HoldPlaced(
    IReadOnlyList<HoldScope> Scope, HoldGround Ground, Edtf Review, Withheld<string>? Reason, Withheld<string>? DocumentHash) : BatFact
{
    public override bool MovesTitleCustodyOrHold => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Scope.Count == 0) yield return new("hold-without-scope", "The hold stops nothing.", "Say what it stops.");
        if (Review.CertainlyBefore(DateOnly.FromDateTime(entry.Envelope.Recorded.UtcDateTime)))
            yield return new("review-in-past", "The review date has passed.", "Give a date on which the hold will be looked at.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Holds = bat.Holds with
        {
            ByEntry = bat.Holds.ByEntry.Add(entry.N, new Hold([.. Scope], Ground, Review, Lifted: false) { By = entry.Envelope.By }),
        },
    };
}
