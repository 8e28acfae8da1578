namespace Custody.Bats;

/// <summary>Say that the present key is no longer ours alone; the promised next key takes over at once.</summary>
/// <param name="Note">Signed note with the lines of a rotation and a seventh, "compromised", signed by the promised next key alone.</param>
public sealed record DeclareKeyCompromised(string Note) : LedgerCommand
{
    public override IReadOnlyList<Fact<LedgerState>> Produce(LedgerState state, Introductions people) => [new KeyCompromised(Note)];
}

/// <summary>The old key's checkpoints count from here on only if cosigned or time-stamped before.</summary>
public sealed record KeyCompromised([property: OpenText("a signed note about public keys, open by the ledger's format")] string Note) : LedgerFact
{
    protected override IEnumerable<Refusal> PermitOn(LedgerState ledger, Entry entry)
    {
        if (KeyRotated.Handover.Read(ledger, Note, out var note) is { } refusal) yield return refusal;
        else if (!note.Compromised || !note.IsSignedBy(note.New) || note.IsSignedBy(note.Old))
            yield return new("key-note-signers", "A compromise is declared by the promised next key alone, and says so in its last line.", "Have only that key sign the note.");
    }

    public override LedgerState Apply(LedgerState state, Entry entry) => KeyRotated.Handover.Apply(state, Note, compromised: true);
}
