namespace Custody.Bats;

/// <summary>Begin a ledger: its name for ever, its key, and the promise of the next one.</summary>
/// <param name="Key">Verifier key text (C2SP signed-note): name, key id, key.</param>
/// <param name="NextKey">SHA-256 of the next key's text, 43 base64url characters; that key is kept offline.</param>
/// <param name="Cosigners">Verifier keys of others who cosign checkpoints.</param>
/// <param name="Quorum">How many of them must.</param>
/// <param name="CheckpointSeconds">How often checkpoints come, at least, while entries wait.</param>
public sealed record OpenLedger(
    string Origin, string Key, string NextKey, IReadOnlyList<string>? Cosigners, int Quorum, int CheckpointSeconds) : LedgerCommand
{
    public override bool Begins => true;

    public override IReadOnlyList<Fact<LedgerState>> Produce(LedgerState state, Introductions people) =>
        [new LedgerOpened(Origin, Key, NextKey, Cosigners ?? [], Quorum, CheckpointSeconds)];
}

/// <summary>Leaf 0 of the log, all open by the ledger's format: whoever checks anything begins here.</summary>
public sealed record LedgerOpened(
    [property: OpenText("the ledger's public name, open by its format")] string Origin,
    [property: OpenText("a public key, open by the ledger's format")] string Key,
    [property: OpenText("the digest of a public key, open by the ledger's format")] string NextKey,
    [property: OpenText("public keys, open by the ledger's format")] IReadOnlyList<string> Cosigners,
    int Quorum, int CheckpointSeconds) : LedgerFact
{
    protected override IEnumerable<Refusal> PermitOn(LedgerState ledger, Entry entry)
    {
        if (ledger.Exists) yield return new("ledger-opened", "The ledger is open already.", "A ledger opens once.");
        if (Origin != entry.Envelope.Ledger || !KeyText.IsName(Origin) || Origin.EndsWith("/head", StringComparison.Ordinal) || Origin.EndsWith("/key", StringComparison.Ordinal))
            yield return new("origin", "That is not this ledger's name.", "Use a name without spaces or plus signs that does not end in /head or /key.");
        if (!KeyText.IsEd25519(Key) || KeyText.NameOf(Key) != Origin)
            yield return new("key-text", "The key is not a verifier key under the ledger's name.", "Give name+id+key of an Ed25519 key.");
        if (!Digests.IsSha256(NextKey) || NextKey == Digests.Sha256Of(Key))
            yield return new("next-key", "The next key is not promised.", "Give the SHA-256 of another key's text.");
        if (!Cosigners.All(KeyText.IsWellFormed) || Cosigners.Distinct(StringComparer.Ordinal).Count() != Cosigners.Count || Cosigners.Contains(Key))
            yield return new("cosigners", "The cosigners are not distinct keys of others.", "Name each once; one's own key counts for nothing.");
        if (Quorum < 0 || Quorum > Cosigners.Count)
            yield return new("quorum", "The quorum cannot be met.", "Ask for no more cosigners than are named.");
        if (CheckpointSeconds is < 1 or > 604_800)
            yield return new("checkpoint-seconds", "That is no promise of checkpoints.", "Promise one at least once a week.");
    }

    public override LedgerState Apply(LedgerState state, Entry entry) => state with { Origin = Origin, Key = Key, NextKey = NextKey };
}
