namespace Custody.Bats;

/// <summary>Put a numbered set of rules into force.</summary>
/// <param name="TextHash">SHA-256 of the published text, 43 base64url characters.</param>
public sealed record AdoptRules(int Number, string TextHash) : LedgerCommand
{
    public override IReadOnlyList<Fact<LedgerState>> Produce(LedgerState state, Introductions people) => [new RulesAdopted(Number, TextHash)];
}

/// <summary>From here on entries may be decided under this rule set.</summary>
public sealed record RulesAdopted(
    int Number, [property: OpenText("the hash of a published text, checked to be one")] string TextHash) : LedgerFact
{
    protected override IEnumerable<Refusal> PermitOn(LedgerState ledger, Entry entry)
    {
        var next = ledger.RuleTexts.IsEmpty ? 1 : ledger.RuleTexts.Keys.Last() + 1;
        if (Number != next) yield return new("rules-number", "Rule sets are numbered one by one.", $"The next one is {next}.");
        if (!Digests.IsSha256(TextHash)) yield return new("hash-form", "That is not a SHA-256 hash.", "Give 43 base64url characters.");
    }

    public override LedgerState Apply(LedgerState state, Entry entry) => state with { RuleTexts = state.RuleTexts.Add(Number, TextHash) };
}
