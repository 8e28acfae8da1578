using Custody.Evidence;

namespace Custody.Bats;

/// <summary>The decision on one entry: the rules common to all entries, then the fact's own. The server asks it before it appends, a
/// checker asks it again years later; both get the same answer because nothing but the arguments is read.</summary>
public static class Decisions
{
    /// <summary>The newest rule set this code knows (rules 1-10 of version 1).</summary>
    public const int LatestRules = 1;

    public static IReadOnlyList<Refusal> Permit<TState>(TState state, Entry entry, ICited cited) where TState : StreamState<TState>, new()
    {
        Refusal[] common = [.. Common(state, entry)];
        if (common.Length > 0) return common;
        return entry.Fact is Fact<TState> fact
            ? [.. fact.Permit(state, entry, cited)]
            : [new("wrong-stream", $"{entry.Fact.TypeName} does not belong on this kind of stream.", "Record it on the stream it belongs to.")];
    }

    static IEnumerable<Refusal> Common<TState>(TState state, Entry entry) where TState : StreamState<TState>, new()
    {
        var at = entry.Envelope;
        if (at.N != state.N + 1 || at.Prev != state.Head)
            yield return new("not-next", "The entry does not follow the last entry of its stream.", "Read the stream again and retry.");
        if (at.Rules < state.Rules || at.Rules > LatestRules)
            yield return new("rules-fall", "The rule set is older than one already used on this stream, or not known.", "Use the present rule set.");
        if (at.Recorded < state.Recorded)
            yield return new("clock-back", "The ledger's clock stands before the stream's last entry.", "Set the server's clock and retry.");
        // A day's grace: somewhere on Earth it may already be tomorrow.
        if (at.Occurred is { } occurred && occurred.CertainlyAfter(DateOnly.FromDateTime(at.Recorded.UtcDateTime).AddDays(1)))
            yield return new("occurred-in-future", "The date of the occurrence is certainly in the future.", "Give the date on which it happened.");
        foreach (var refusal in People(state, entry)) yield return refusal;
    }

    static IEnumerable<Refusal> People<TState>(TState state, Entry entry) where TState : StreamState<TState>, new()
    {
        HashSet<Alias> introduced = [];
        var next = state.People.IsEmpty ? 1 : state.People.Keys.Max().Number + 1;
        foreach (var text in entry.Fact.Parties?.Keys ?? Enumerable.Empty<string>())
        {
            if (!Alias.TryParse(text, out var alias) || state.Knows(alias) || !introduced.Add(alias))
                yield return new("alias-introduced-twice", $"'{text}' is not a new alias.", "Introduce each party once.");
        }
        if (introduced.Count > 0 && !introduced.Order().Select(a => a.Number).SequenceEqual(Enumerable.Range(next, introduced.Count)))
            yield return new("alias-out-of-order", "New aliases do not follow on from the last one.", "Number them on from the last.");
        foreach (var alias in entry.Fact.Names().Concat(entry.Envelope.By is { } by ? [by] : []).Distinct())
        {
            if (!state.Knows(alias) && !introduced.Contains(alias))
                yield return new("alias-unknown", $"{alias} has not been introduced on this stream.", "Introduce the party first.");
        }
    }
}
