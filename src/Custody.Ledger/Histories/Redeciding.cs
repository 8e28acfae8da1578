using Custody.Bats;

namespace Custody.Ledger;

/// <summary>How far a stream could be decided again.</summary>
/// <param name="Refused">The first refusal, with the entry it met; null when every entry decided was permitted.</param>
/// <param name="Undecided">Why it stopped before the end; null when every entry was decided.</param>
/// <param name="Decided">Number of entries permitted.</param>
/// <param name="State">State after the last of them; null before the first.</param>
public sealed record Redecided(string? Refused, string? Undecided, long Decided, object? State);

/// <summary>Takes every decision of a stream again with the code that took it first, from open fields alone (rule 10).</summary>
public static class Redeciding
{
    /// <summary>Decides the lines of one whole stream again, from its first entry.</summary>
    /// <param name="kind">Kind of stream, the word before the slash.</param>
    /// <param name="excuse">Why the refusal of an entry says nothing: it was decided while another one was lost. Null when nothing excuses it.</param>
    /// <param name="citedBy">What an entry may look at in other streams: given the line, only what stands before it in the log.</param>
    public static Redecided Stream(string kind, IReadOnlyList<HistoryLine> lines, Func<HistoryLine, ICited> citedBy, Func<HistoryLine, string?>? excuse = null) => kind switch
    {
        "bat" => Run<Bat>(lines, citedBy, excuse),
        "party" => Run<PartyState>(lines, citedBy, excuse),
        "ledger" => Run<LedgerState>(lines, citedBy, excuse),
        "habits" => Run<HabitFile>(lines, citedBy, excuse),
        "comparison" => Run<ComparisonFile>(lines, citedBy, excuse),
        "rubric" => Run<RubricFile>(lines, citedBy, excuse),
        "sale" => Run<Sale>(lines, citedBy, excuse),
        "dossier" => Run<DossierState>(lines, citedBy, excuse),
        _ => new Redecided(null, $"streams of the kind \"{kind}\" are not known here", 0, null),
    };

    static Redecided Run<TState>(IReadOnlyList<HistoryLine> lines, Func<HistoryLine, ICited> citedBy, Func<HistoryLine, string?>? excuse) where TState : StreamState<TState>, new()
    {
        TState? state = null;
        foreach (var line in lines)
        {
            var decided = state?.N ?? 0;
            if (Obstacle(line) is { } obstacle) return new(null, obstacle, decided, state);
            var entry = line.Entry!;
            try
            {
                var refusals = Decisions.Permit(state ?? new TState(), entry, citedBy(line));
                if (refusals.Count > 0 && excuse?.Invoke(line) is { } lost) return new(null, lost, decided, state);
                if (refusals.Count > 0) return new(Refusal(entry, $"{refusals[0].Sentence} ({refusals[0].Code})"), null, decided, state);
                state = (state ?? new TState()).Fold(entry);
            }
            // A forged history may bring a rule to where no honest one does. Whatever it throws there, the entry is not permitted.
            catch (Exception failure) when (failure is not OutOfMemoryException)
            {
                if (excuse?.Invoke(line) is { } lost) return new(null, lost, decided, state);
                return new(Refusal(entry, $"the rule could not be applied to it ({failure.GetType().Name})"), null, decided, state);
            }
        }
        return new(null, null, state?.N ?? 0, state);
    }

    static string Refusal(Entry entry, string why) => $"entry {entry.N} ({entry.Fact.TypeName}) is refused: {why}";

    static string? Obstacle(HistoryLine line) => line switch
    {
        { Gone: { } gone } => $"entry {gone.N} is gone, so what follows cannot be decided again",
        { IsUnknownType: true, Form: { } form } => $"entry {form.Envelope.N} is of the type {form.Type}, which this checker does not know",
        { Entry: null } => $"line {line.Number} cannot be read",
        { Entry.Envelope: { Rules: > Decisions.LatestRules } at } => $"entry {at.N} was decided under rules {at.Rules}, which this checker does not know",
        _ => null,
    };
}

/// <summary>The entries of a dossier that others may cite: each is found by stream, number and hash, and only from later in the log.</summary>
public sealed class CitableEntries
{
    readonly Dictionary<(string Stream, long N, string Hash), (long Index, Entry Entry)> known = [];

    /// <summary>Makes an entry citable.</summary>
    /// <param name="index">Its place in the log.</param>
    public void Add(long index, Entry entry) => known.TryAdd((entry.Envelope.Stream.ToString(), entry.N, entry.Hash), (index, entry));

    /// <summary>What the entry at this place in the log may look at.</summary>
    public ICited Before(long index) => new Earlier(this, index);

    sealed class Earlier(CitableEntries all, long index) : ICited
    {
        public Entry? Find(Reference reference) =>
            all.known.TryGetValue((reference.Stream.ToString(), reference.N, reference.Hash), out var found) && found.Index < index
                && (reference.Ledger is null || reference.Ledger == found.Entry.Envelope.Ledger)
                ? found.Entry
                : null;
    }
}
