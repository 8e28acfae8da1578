namespace Custody.Bats;

/// <summary>Record which checker page the ledger vouches for, so that a reader can tell it from another.</summary>
/// <param name="PageHash">SHA-256 of the published page's bytes, 43 base64url characters.</param>
/// <param name="Length">Their number.</param>
public sealed record PublishChecker(string PageHash, long Length) : LedgerCommand
{
    public override IReadOnlyList<Fact<LedgerState>> Produce(LedgerState state, Introductions people) => [new CheckerPublished(PageHash, Length)];
}

/// <summary>This checker page was published.</summary>
public sealed record CheckerPublished(
    [property: OpenText("the hash of a published page, checked to be one")] string PageHash, long Length) : LedgerFact
{
    protected override IEnumerable<Refusal> PermitOn(LedgerState ledger, Entry entry)
    {
        if (!Digests.IsSha256(PageHash)) yield return new("hash-form", "That is not a SHA-256 hash.", "Give 43 base64url characters.");
        if (Length < 1) yield return new("empty-page", "The page is empty.", "Publish the checker first.");
    }

    public override LedgerState Apply(LedgerState state, Entry entry) => state;
}
