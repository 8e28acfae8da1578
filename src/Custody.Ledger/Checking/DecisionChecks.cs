using System.Globalization;
using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>Check 10 for one ledger's part, and what the history then amounts to.</summary>
sealed class DecisionCheck
{
    internal Outcome Outcome { get; }

    /// <summary>Whether entries are gone, or were while later ones were decided: what is told then is what is left.</summary>
    internal bool HasLost { get; }

    /// <summary>The history as its open fields tell it, corrected; null unless every entry was decided again and permitted, or is gone.</summary>
    internal Reading? Open { get; }

    /// <summary>The same with the values filled in that are shown.</summary>
    internal Reading? Shown { get; }

    /// <param name="opened">Each entry with what is shown of it.</param>
    /// <param name="sound">Whether checks 2, 3 and 4 hold.</param>
    internal DecisionCheck(HistoryReading reading, Func<HistoryLine, Entry?> opened, bool sound)
    {
        if (!sound || reading.Places is not { } places)
        {
            Outcome = Outcome.NotChecked("The entries, their chain or their places in the log do not hold; see checks 2, 3 and 4.");
            return;
        }
        CitableEntries all = new();
        foreach (var line in reading.Lines)
            if (line.Entry is { } entry && places.Of(line) is { } index) all.Add(index, entry);
        ICited CitedBy(HistoryLine line) => all.Before(places.Of(line) ?? 0);
        var lost = new LostEntries(reading, places);
        var history = Redeciding.Stream(reading.First!.Stream.Kind, reading.History.Lines, CitedBy, lost.Excuse(reading.History.Lines));
        var context = ContextStreams(reading).Select(s => Redeciding.Stream(s.Key, s.Value, CitedBy, lost.Excuse(s.Value))).ToList();
        Outcome = Judge(reading, history, context);
        HasLost = Outcome.Result == CheckResult.NotChecked && lost.Touches(reading.History.Lines);
        if ((Outcome.Result != CheckResult.Passed && !HasLost) || history.State is not Bat) return;
        try
        {
            Open = History.Of(LostEntries.Filled(reading, l => l.Entry)).AsCorrected();
            Shown = History.Of(LostEntries.Filled(reading, opened)).AsCorrected();
        }
        // As in deciding again: what no honest history can bring about is a failed check, not a crash.
        catch (Exception failure) when (failure is not OutOfMemoryException)
        {
            (Open, Shown) = (null, null);
            if (!HasLost) Outcome = Outcome.Failed($"The history cannot be read as corrected ({failure.GetType().Name}).");
        }
    }

    /// <summary>Streams of the context that travel from their first entry on, as far as they do so without a gap.</summary>
    static IEnumerable<KeyValuePair<string, IReadOnlyList<HistoryLine>>> ContextStreams(HistoryReading reading) =>
        reading.Context.Lines.Where(l => l.Form is not null).GroupBy(l => l.Form!.Envelope.Stream)
            .Select(g => KeyValuePair.Create(g.Key.Kind, (IReadOnlyList<HistoryLine>)[.. g.TakeWhile((line, i) => line.N == i + 1)]))
            .Where(s => s.Value.Count > 0);

    static Outcome Judge(HistoryReading reading, Redecided history, IReadOnlyList<Redecided> context)
    {
        if ((history.Refused ?? context.FirstOrDefault(c => c.Refused is not null)?.Refused) is { } refused)
            return Outcome.Failed(EntryChecks.Sentence([refused]));
        if (UnadoptedRules(reading) is { } rules)
            return Outcome.Failed(string.Create(CultureInfo.InvariantCulture, $"Rules {rules} are used, and the context lacks the entry that adopted them."));
        if (history.Undecided is { } obstacle)
            return Outcome.NotChecked($"The first {history.Decided} entries are permitted; {obstacle}.");
        var together = reading.Context.Lines.Count;
        return Outcome.Passed(string.Create(
            CultureInfo.InvariantCulture,
            $"All {history.Decided} entries are permitted by their own rules. Of the {together} entries they rest on, {context.Sum(c => c.Decided)} could be decided again too."));
    }

    // Rules 1 stand with the ledger's first entry; every later number has an entry that adopted it.
    static int? UnadoptedRules(HistoryReading reading)
    {
        var adopted = reading.Context.Lines.Select(l => l.Entry?.Fact).OfType<RulesAdopted>().Select(r => r.Number).Append(1).ToHashSet();
        return reading.Lines.Select(l => l.Form?.Envelope.Rules).OfType<int>().Where(r => !adopted.Contains(r)).Select(r => (int?)r).FirstOrDefault();
    }
}

/// <summary>Checks 11 to 14, which look at what the history amounts to.</summary>
static class OutcomeChecks
{
    /// <summary>Check 13: no place of a stream is taken twice in the dossier, and what the public log said where it was asked.</summary>
    internal static Outcome SecondEntries(IReadOnlyList<HistoryReading> readings, Outcome? online)
    {
        var places = readings.SelectMany(r => r.Lines).Where(l => l.Form is not null).Select(l => l.Form!)
            .GroupBy(f => (f.Envelope.Ledger, f.Envelope.Stream, f.Envelope.N));
        if (places.FirstOrDefault(p => p.Select(f => f.Hash).Distinct(StringComparer.Ordinal).Count() > 1) is { } twice)
            return Outcome.Failed($"Two different entries {twice.Key.N} of {twice.Key.Stream} are in this dossier: {twice.Key.Ledger} told two histories. Keep it.");
        if (online is null) return Outcome.NotChecked("Needs the public tiles of the log: ask online. Within the dossier no place is taken twice.");
        var others = readings.Skip(1).Select(r => r.Origin).ToList();
        return others.Count == 0 ? online : online with { Reason = $"{readings[0].Origin}: {online.Reason} Not asked: {string.Join(", ", others)}." };
    }
}
