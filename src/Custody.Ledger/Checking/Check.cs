namespace Custody.Ledger;

/// <summary>How a check came out.</summary>
public enum CheckResult
{
    /// <summary>It holds, and nobody had to be believed.</summary>
    Passed,

    /// <summary>It holds if the house that keeps the ledger is believed.</summary>
    OnHousesWord,

    /// <summary>It does not hold.</summary>
    Failed,

    /// <summary>It could not be looked at here; the reason says why and where it can be.</summary>
    NotChecked,
}

/// <summary>One check and how it came out.</summary>
/// <param name="Number">Number in the list, from 1.</param>
/// <param name="Name">Name in the list; the same wherever checks are shown.</param>
/// <param name="Reason">One or more sentences for people; may change.</param>
public sealed record Check(int Number, string Name, CheckResult Result, string Reason);

/// <summary>How one check came out for one history, before it has its place in the list.</summary>
sealed record Outcome(CheckResult Result, string Reason)
{
    internal static Outcome Passed(string reason) => new(CheckResult.Passed, reason);

    internal static Outcome OnHousesWord(string reason) => new(CheckResult.OnHousesWord, reason);

    internal static Outcome Failed(string reason) => new(CheckResult.Failed, reason);

    internal static Outcome NotChecked(string reason) => new(CheckResult.NotChecked, reason);

    internal bool HasFailed => Result == CheckResult.Failed;

    /// <summary>What counts for several histories together: the worst of them.</summary>
    internal static Outcome Together(IReadOnlyList<(string Ledger, Outcome Outcome)> outcomes)
    {
        if (outcomes.Count == 1) return outcomes[0].Outcome;
        var worst = outcomes.MaxBy(o => Weight(o.Outcome.Result)).Outcome.Result;
        return new(worst, string.Join(" ", outcomes.Select(o => $"{o.Ledger}: {o.Outcome.Reason}")));
    }

    static int Weight(CheckResult result) => result switch
    {
        CheckResult.Passed => 0,
        CheckResult.OnHousesWord => 1,
        CheckResult.NotChecked => 2,
        _ => 3,
    };
}
