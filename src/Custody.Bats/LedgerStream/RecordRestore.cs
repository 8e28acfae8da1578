namespace Custody.Bats;

/// <summary>Record that the ledger was restored and which log records came back from the published tiles.</summary>
/// <param name="FirstIndex">First log index lost, from 0.</param>
/// <param name="LastIndex">Last log index lost, this one included.</param>
public sealed record RecordRestore(long FirstIndex, long LastIndex, string? Circumstances) : LedgerCommand
{
    public override IReadOnlyList<Fact<LedgerState>> Produce(LedgerState state, Introductions people) =>
        [new LedgerRestored(FirstIndex, LastIndex, Circumstances)];
}

/// <summary>Records in this range of the log are known by hash and tag only, unless someone's dossier brings the entry back.</summary>
public sealed record LedgerRestored(long FirstIndex, long LastIndex, Withheld<string>? Circumstances) : LedgerFact
{
    protected override IEnumerable<Refusal> PermitOn(LedgerState ledger, Entry entry)
    {
        // Leaf 0 is this ledger's beginning: without it there is nothing to restore into.
        if (FirstIndex < 1 || LastIndex < FirstIndex)
            yield return new("index-range", "That is not a range of the log.", "Give the first and the last index lost, above 0.");
    }

    public override LedgerState Apply(LedgerState state, Entry entry) => state;
}
