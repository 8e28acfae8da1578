namespace Custody.Bats;

/// <summary>Record that a dossier of a bat was handed out.</summary>
/// <param name="Head">The bat's last entry in it: stream, n and hash.</param>
/// <param name="TreeSize">Size of the checkpoint it was made under.</param>
/// <param name="TreeRoot">Root hash of that checkpoint, 43 base64url characters.</param>
/// <param name="Shown">How many withheld values it shows.</param>
/// <param name="Digest">SHA-256 of the file, 43 base64url characters.</param>
public sealed record IssueDossier(
    Reference Head, long TreeSize, string TreeRoot, long Shown, long Photographs, string? Digest, string? IssuedFor) : DossierCommand
{
    public override bool Begins => true;

    public override IReadOnlyList<Fact<DossierState>> Produce(DossierState state, Introductions people) =>
        [new DossierIssued(Head, TreeSize, TreeRoot, Shown, Photographs, Digest, IssuedFor)];
}

/// <summary>A dossier was handed out. Whoever reads the bat never sees this; whoever keeps the ledger does.</summary>
public sealed record DossierIssued(
    Reference Head, long TreeSize,
    [property: OpenText("the root hash of a published checkpoint, checked to be one")] string TreeRoot,
    long Shown, long Photographs, Withheld<string>? Digest, Withheld<string>? IssuedFor) : DossierFact
{
    public override IEnumerable<Reference> Cites => [Head];

    public override IEnumerable<Refusal> Permit(DossierState state, Entry entry, ICited cited)
    {
        if (state.Exists) yield return new("dossier-issued", "This dossier was issued already.", "Issue another one on a stream of its own.");
        if (Head.Stream.Kind != "bat" || cited.Find(Head) is null)
            yield return new("no-such-entry", "The dossier does not name an entry of a bat.", "Name the bat's head under the checkpoint.");
        if (TreeSize < 1 || !Digests.IsSha256(TreeRoot))
            yield return new("no-such-checkpoint", "The dossier does not name a checkpoint.", "Name size and root of a published checkpoint.");
        if (Shown < 0 || Photographs < 0)
            yield return new("count-negative", "A count is below zero.", "Count what the dossier shows.");
    }

    public override DossierState Apply(DossierState state, Entry entry) => state with { TellsUpTo = Head };
}
