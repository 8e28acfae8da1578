namespace Custody.Bats;

/// <summary>Hand over to the promised next key.</summary>
/// <param name="Note">Signed note: origin/key, old key, new key, SHA-256 of the next, size, root; signed by old and new.</param>
public sealed record RotateKey(string Note) : LedgerCommand
{
    public override IReadOnlyList<Fact<LedgerState>> Produce(LedgerState state, Introductions people) => [new KeyRotated(Note)];
}

/// <summary>The new key signs from here on. Its form and promise are judged here, its signatures by the checks.</summary>
public sealed record KeyRotated([property: OpenText("a signed note about public keys, open by the ledger's format")] string Note) : LedgerFact
{
    protected override IEnumerable<Refusal> PermitOn(LedgerState ledger, Entry entry)
    {
        if (Handover.Read(ledger, Note, out var note) is { } refusal) yield return refusal;
        else if (note.Compromised || !note.IsSignedBy(note.Old) || !note.IsSignedBy(note.New))
            yield return new("key-note-signers", "A rotation is signed by the old key and the new one, and says nothing of a compromise.", "Have both sign the note.");
    }

    public override LedgerState Apply(LedgerState state, Entry entry) => Handover.Apply(state, Note, compromised: false);

    /// <summary>What a rotation and a compromise have in common.</summary>
    internal static class Handover
    {
        public static Refusal? Read(LedgerState ledger, string text, out KeyNote note)
        {
            if (!KeyNote.TryRead(text, out var read))
            {
                note = new KeyNote("", "", "", "", 0, "", false, []);
                return new("key-note", "That is not a key note.", "Write six lines, an empty line and the signatures.");
            }
            note = read;
            if (read.Origin != ledger.Origin || read.Old != ledger.Key)
                return new("key-note-other", "The note is not about this ledger's present key.", "Name this ledger and the key that signs now.");
            // The promise made before: a thief of the present key cannot name a successor.
            if (Digests.Sha256Of(read.New) != ledger.NextKey)
                return new("key-not-promised", "The new key is not the one promised.", "Use the key whose digest was given before.");
            return KeyText.NameOf(read.New) != ledger.Origin || read.New == read.Old || read.Next == Digests.Sha256Of(read.New)
                || ledger.EarlierKeys.Any(k => k.Key == read.New || k.UpTo > read.Size)
                ? new("key-again", "A key or a size comes again that was passed already.", "Name new keys under the ledger's name, at the present size.")
                : null;
        }

        public static LedgerState Apply(LedgerState state, string text, bool compromised) => KeyNote.TryRead(text, out var note)
            ? state with
            {
                Key = note.New,
                NextKey = note.Next,
                EarlierKeys = state.EarlierKeys.Add(new EarlierKey(note.Old, note.Size, compromised)),
            }
            : state;
    }
}
