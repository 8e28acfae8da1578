using System.Collections.Immutable;

namespace Custody.Bats;

/// <summary>What every stream's fold knows: where its chain stands and who has been introduced.</summary>
public abstract record StreamState<TSelf> where TSelf : StreamState<TSelf>, new()
{
    /// <summary>Stream name as text; empty before the first entry.</summary>
    public string Id { get; init; } = "";

    /// <summary>Number of the last entry; 0 before the first.</summary>
    public long N { get; init; }

    /// <summary>Hash of the last entry; null before the first.</summary>
    public string? Head { get; init; }

    public int Rules { get; init; }

    public DateTimeOffset Recorded { get; init; }

    /// <summary>Role by alias, in order of introduction.</summary>
    public ImmutableSortedDictionary<Alias, Role> People { get; init; } = ImmutableSortedDictionary<Alias, Role>.Empty;

    public bool Exists => N > 0;

    public bool Knows(Alias alias) => People.ContainsKey(alias);

    /// <summary>The fold: applies one permitted entry. Pure; the same entries give the same state for ever.</summary>
    public TSelf Fold(Entry entry)
    {
        var applied = entry.Fact is Fact<TSelf> fact ? fact.Apply((TSelf)this, entry)
            : throw new InvalidOperationException($"{entry.Fact.TypeName} is not a fact of this kind of stream.");
        var people = applied.People;
        foreach (var (alias, party) in entry.Fact.Parties ?? []) people = people.SetItem(Alias.Parse(alias), party.Role);
        return applied with
        {
            Id = entry.Envelope.Stream.ToString(),
            N = entry.N,
            Head = entry.Hash,
            Rules = entry.Envelope.Rules,
            Recorded = entry.Envelope.Recorded,
            People = people,
        };
    }
}
