namespace Custody.Bats;

/// <summary>A state of another ledger's log, as its signed checkpoint gives it.</summary>
/// <param name="Size">Number of leaves.</param>
/// <param name="Root">Root hash, 43 base64url characters.</param>
public sealed record CheckpointAt(
    long Size, [property: OpenText("the root hash of a published checkpoint, checked to be one")] string Root) : IPart;

/// <summary>Say that this history goes on from another house's ledger. Comes first: the other ledger can only then say that it goes on
/// in this entry.</summary>
/// <param name="Earlier">The last entry there, with the name of its ledger.</param>
/// <param name="Checkpoint">The checkpoint under which that entry was seen.</param>
public sealed record ContinueFrom(Reference Earlier, CheckpointAt Checkpoint) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) => [new ContinuedFrom(Earlier, Checkpoint)];
}

/// <summary>This history goes on from another ledger's.</summary>
public sealed record ContinuedFrom(Reference Earlier, CheckpointAt Checkpoint) : BatFact
{
    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        foreach (var refusal in OtherLedger.Refuse(entry, Earlier, Checkpoint)) yield return refusal;
        if (bat.Continuations.ByEntry.Values.Any(c => !c.Onward && c.Other.Ledger == Earlier.Ledger && c.Other.N >= Earlier.N
            && c.Other.Stream == Earlier.Stream))
            yield return new("already-continued", "This history goes on from that one already, from as late an entry or a later one.",
                "Cite a later entry.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Continuations = new() { ByEntry = bat.Continuations.ByEntry.Add(entry.N, new Continuation(Earlier, Onward: false)) },
    };
}

/// <summary>Say that this history goes on in another house's ledger. Comes second, citing that ledger's <c>ContinuedFrom</c>. From
/// then on title and custody move there, until this ledger continues from that one again.</summary>
public sealed record ContinueIn(Reference Later, CheckpointAt Checkpoint) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) => [new ContinuedIn(Later, Checkpoint)];
}

/// <summary>This history goes on in another ledger.</summary>
public sealed record ContinuedIn(Reference Later, CheckpointAt Checkpoint) : BatFact
{
    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        foreach (var refusal in OtherLedger.Refuse(entry, Later, Checkpoint)) yield return refusal;
        foreach (var refusal in bat.RefuseElsewhere()) yield return refusal;
        if (bat.Keeping.InTransit is { } n)
            yield return new("in-transit", $"The bat is in transit (entry {n}).", "Have it received, refused or recalled first.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Continuations = new() { ByEntry = bat.Continuations.ByEntry.Add(entry.N, new Continuation(Later, Onward: true)) },
    };
}

/// <summary>What can be told of an entry in a ledger that is not here to read.</summary>
static class OtherLedger
{
    public static IEnumerable<Refusal> Refuse(Entry entry, Reference other, CheckpointAt checkpoint)
    {
        if (other.Ledger is null || other.Ledger == entry.Envelope.Ledger)
            yield return new("same-ledger", "A history continues from or in another ledger.",
                "Name the other ledger; two records here are declared the same.");
        if (other.Stream.Kind != "bat" || other.N < 1)
            yield return new("not-an-entry", "That does not name an entry of a bat.", "Give its stream, number and hash.");
        if (checkpoint.Size < 1 || !IsHash(checkpoint.Root))
            yield return new("not-a-checkpoint", "That is not the size and root of a log that holds an entry.",
                "Copy both from the signed checkpoint.");
    }

    // 43 base64url characters; the last carries 4 of its 6 bits, the two spare ones are zero.
    static bool IsHash(string text) =>
        text.Length == 43 && text.All(c => char.IsAsciiLetterOrDigit(c) || c is '-' or '_') && "AEIMQUYcgkosw048".Contains(text[42]);
}
