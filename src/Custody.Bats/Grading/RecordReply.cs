namespace Custody.Bats;

/// <summary>What a reply says to an opinion.</summary>
public enum ReplyStance
{
    Agrees,
    Disagrees,
    Corrects,
    Asks,
    Comments,
}

/// <summary>Record somebody's reply to an opinion; it stands beside it.</summary>
/// <param name="Opinion">Number of the opinion, also one withdrawn.</param>
/// <param name="DocumentHash">SHA-256 of the paper, when there is one.</param>
public sealed record RecordReply(long Opinion, PartyId From, ReplyStance Stance, string? Text, string? DocumentHash) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new ReplyRecorded(Opinion, people.Of(From, Role.Author), Stance, Text, DocumentHash)];
}

/// <summary>A reply to an opinion was recorded.</summary>
public sealed record ReplyRecorded(long Opinion, Alias From, ReplyStance Stance, Withheld<string>? Text, Withheld<string>? DocumentHash) : BatFact
{
    public override bool IsReport => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited) =>
        Grounds.Refuse(bat, bat.Opinions.ByEntry, Opinion, "opinion") is { } refused ? [refused] : [];

    protected override Bat ApplyTo(Bat bat, Entry entry) =>
        bat with { Opinions = bat.Opinions.With(Opinion, o => o with { Replies = o.Replies.Add(entry.N) }) };
}
