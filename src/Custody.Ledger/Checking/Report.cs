namespace Custody.Ledger;

/// <summary>What a checker found in a dossier.</summary>
/// <param name="Checks">All of the list, in its order.</param>
/// <param name="Histories">What the dossier tells: the bat's own history first. Empty when nothing could be read.</param>
/// <param name="Shown">How many withheld values it shows.</param>
/// <param name="AsOf">Until when it is complete, in words; null when there is no head.</param>
/// <param name="DaysOld">Whole days since then by the reader's clock; null when there is no head.</param>
/// <param name="IsVouched">Whether the reader's own key is the one that signed.</param>
public sealed record Report(
    IReadOnlyList<Check> Checks, IReadOnlyList<ToldHistory> Histories, int Shown, string? AsOf, long? DaysOld, bool IsVouched)
{
    /// <summary>What the public log said; null when it was not asked.</summary>
    public LogFinding? Online { get; init; }

    /// <summary>Whether something does not hold.</summary>
    public bool HasFailed => Checks.Any(c => c.Result == CheckResult.Failed);
}
