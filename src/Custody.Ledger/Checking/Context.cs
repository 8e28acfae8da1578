using Custody.Bats;

namespace Custody.Ledger;

/// <summary>What belongs in the context of a history: the ledger's own beginning, keys and rules, and what is cited.</summary>
static class Context
{
    /// <summary>The first line of the context that nothing calls for; null when each has its reason.</summary>
    internal static HistoryLine? Uncited(HistoryReading reading)
    {
        var cited = reading.Lines.SelectMany(References).ToHashSet();
        return reading.Context.Lines.FirstOrDefault(l => l.Form is { } form
            && !BelongsToAll(l) && !cited.Contains((form.Envelope.Stream.ToString(), form.Envelope.N, form.Hash)));
    }

    static bool BelongsToAll(HistoryLine line) => line.Entry?.Fact is LedgerOpened or KeyRotated or KeyCompromised or RulesAdopted or LedgerRestored;

    static IEnumerable<(string Stream, long N, string Hash)> References(HistoryLine line) =>
        (line.Gone is { } gone ? [gone.Why] : line.Entry is { } entry ? Shapes.Open<Reference>(entry.Fact) : FromForm(line)).Select(r => (r.Stream.ToString(), r.N, r.Hash));

    // An event type not known here may cite too: whatever looks like a reference counts as one, so that nothing is called uncited wrongly.
    static IEnumerable<Reference> FromForm(HistoryLine line) => line.Form is { } form ? UnknownType.ReferencesIn(form.Body) : [];
}
