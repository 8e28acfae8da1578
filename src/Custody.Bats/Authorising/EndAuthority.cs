namespace Custody.Bats;

/// <summary>Why an authority ended before its last day.</summary>
public enum AuthorityEnd
{
    Revoked,
    GivenUp,
    Done,
    Death,
    ByCourt,
    RecordedInError,
}

/// <summary>End an authority.</summary>
/// <param name="Authority">Entry of the <c>AuthorityRecorded</c>.</param>
public sealed record EndAuthority(
    long Authority, AuthorityEnd Reason, AssertionBasis Basis, string? Explanation, string? DocumentHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new AuthorityEnded(Authority, Reason, Basis, Explanation, DocumentHash)];
}

/// <summary>The authority no longer counts; what was done under it stands.</summary>
public sealed record AuthorityEnded(
    long Authority, AuthorityEnd Reason, AssertionBasis Basis, Withheld<string>? Explanation, Withheld<string>? DocumentHash) : BatFact
{
    public override bool AllowedAfterTheEnd => true;
    public override bool MovesTitleCustodyOrHold => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        var known = bat.Authorities.ByEntry.GetValueOrDefault(Authority);
        if (Grounds.Refuse(bat, bat.Authorities.ByEntry, Authority, "authority") is { } refused) yield return refused;
        if (known is null) yield break;
        if (known.Ended) yield return new("authority-ended", "That authority has ended already.", "Nothing more is needed.");
        if (!Proof.Suffices(Basis) && entry.Envelope.By is var by && by != known.For && by != known.Holder)
            yield return new("not-yours-to-end", "An authority is ended by who gave it or who has it.",
                "Ask one of them, or rest it on a document or court order.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Authorities = bat.Authorities with
        {
            ByEntry = bat.Authorities.ByEntry.SetItem(Authority, bat.Authorities.ByEntry[Authority] with { Ended = true }),
        },
    };
}
