using Custody.Bats;

namespace Custody.Ledger;

/// <summary>Check 3 for an earlier history: its own chain, and that the later one really goes on from it.</summary>
static class Continuing
{
    internal static Outcome Chain(HistoryReading main, HistoryReading earlier)
    {
        var chain = EntryChecks.Chain(earlier);
        if (chain.HasFailed || chain.Result == CheckResult.NotChecked) return chain;
        var links = main.History.Lines.Select(l => l.Entry?.Fact).OfType<ContinuedFrom>().Select(c => c.Earlier).Where(r => r.Ledger == earlier.Origin).ToList();
        if (links.Count == 0) return Outcome.Failed("Nothing in the bat's history says that it goes on from this one.");
        return links.TrueForAll(link => earlier.History.Lines.Any(l => l.N == link.N && l.Hash == link.Hash && link.Stream == earlier.First!.Stream))
            ? chain
            : Outcome.Failed("The bat's history goes on from an entry that is not in this one.");
    }
}
