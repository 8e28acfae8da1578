using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>Checks 2, 3 and 4: the entries themselves, their chain, their places in the log.</summary>
static class EntryChecks
{
    /// <summary>Check 2: every line is canonical and well formed, the context in the order of the log and with nothing that is not cited.</summary>
    internal static Outcome WellFormed(HistoryReading reading)
    {
        foreach (var (lines, name) in new[] { (reading.History, "history.jsonl"), (reading.Context, "context.jsonl") })
        {
            if (lines.Lines.FirstOrDefault(l => l.Fault is not null) is { } bad)
                return Outcome.Failed($"Line {bad.Number} of {name} is not a well-formed entry: {bad.Fault!.Sentence}");
            if (lines.Fault is { } fault) return Outcome.Failed($"{name}: {fault.Sentence}");
        }
        if (reading.History.Lines.Count == 0) return Outcome.Failed("history.jsonl holds no entry.");
        if (reading.Context.Lines.FirstOrDefault(l => l.Gone is not null) is { } gone)
            return Outcome.Failed($"Line {gone.Number} of context.jsonl stands for an entry that is gone; only a history may have such lines.");
        if (reading.Places is { ContextInOrder: false }) return Outcome.Failed("The lines of context.jsonl do not stand in the order of the log.");
        if (Context.Uncited(reading) is { } uncited)
            return Outcome.Failed($"Line {uncited.Number} of context.jsonl is cited by nothing in this history.");
        if (reading.Lines.FirstOrDefault(l => l.IsUnknownType) is { } unknown)
            return Outcome.NotChecked($"An entry is of the type {unknown.Form!.Type}, which this checker does not know; all else is well formed. Ask a newer checker.");
        return Outcome.Passed($"{reading.Lines.Count(l => l.Form is not null)} entries are written in the one way the format allows.");
    }

    /// <summary>Check 3: one ledger, one stream, numbers without gaps, each entry holding the hash of the one before, rules never falling.</summary>
    internal static Outcome Chain(HistoryReading reading)
    {
        string? before = null;
        var rules = 0;
        var recorded = DateTimeOffset.MinValue;
        foreach (var line in reading.History.Lines)
        {
            if (line.Hash is null) return Outcome.NotChecked($"Line {line.Number} of history.jsonl cannot be read; see check 2.");
            if (line.N != line.Number) return Outcome.Failed($"Line {line.Number} holds entry {line.N}.");
            if (line.Form is { Envelope: var at })
            {
                if (at.Ledger != reading.First!.Ledger || at.Stream != reading.First.Stream) return Outcome.Failed($"Entry {at.N} belongs to another ledger or stream.");
                if (at.Prev != before) return Outcome.Failed($"Entry {at.N} does not follow the entry before it: the hash it holds is another.");
                if (at.Rules < rules) return Outcome.Failed($"Entry {at.N} was decided under older rules than an entry before it.");
                if (at.Recorded < recorded) return Outcome.Failed($"Entry {at.N} was recorded earlier than an entry before it.");
                (rules, recorded) = (at.Rules, at.Recorded);
            }
            before = line.Hash;
        }
        return reading.History.Lines.Count == 0 ? Outcome.NotChecked("There is no entry.") : Outcome.Passed(Words(reading));
    }

    static string Words(HistoryReading reading)
    {
        var gone = reading.History.Lines.Count(l => l.Gone is not null);
        return $"{reading.History.Lines.Count} entries, each holding the hash of the one before."
            + (gone == 0 ? "" : $" {gone} of them are gone; their hashes and the reasons stand in their places.");
    }

    /// <summary>Check 4: every entry is in the log under the checkpoint.</summary>
    internal static Outcome Included(HistoryReading reading)
    {
        if (reading.Places is not { } places) return Outcome.NotChecked($"The checkpoint cannot be read: {reading.Checkpoint.Fault}");
        if (reading.Lines.FirstOrDefault(l => l.Form is { } form && form.Envelope.Ledger != reading.Origin) is { } other)
            return Outcome.Failed($"An entry names the ledger {other.Form!.Envelope.Ledger}, the checkpoint {reading.Origin}.");
        if (places.Faults.Count > 0) return Outcome.Failed(Sentence(places.Faults));
        return reading.Lines.Any(l => l.Hash is null)
            ? Outcome.NotChecked("A line cannot be read; see check 2. Every other entry is in the log.")
            : Outcome.Passed($"All {reading.Lines.Count()} are in the log of {reading.Origin} at size {reading.Checkpoint.Value!.Size}.");
    }

    internal static string Sentence(IReadOnlyList<string> faults)
    {
        var more = faults.Count > 1 ? $" (and {faults.Count - 1} more)" : "";
        return char.ToUpperInvariant(faults[0][0]) + faults[0][1..] + more + ".";
    }
}
