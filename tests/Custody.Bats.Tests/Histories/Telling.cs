using System.Globalization;
using Custody.Evidence;

namespace Custody.Bats.Tests.Histories;

/// <summary>One bat's history as it is told, act by act: decided and folded as the server does it, and nothing besides, so that very many can be told.</summary>
sealed class Telling(Entry sale)
{
    static readonly StreamName Stream = StreamName.Parse("bat/" + new string('0', 26));
    readonly Dictionary<PartyId, Alias> known = [];
    readonly List<Entry> entries = [];
    DateTimeOffset clock = new(2024, 3, 1, 9, 0, 0, TimeSpan.Zero);

    public Entry Sale { get; } = sale;

    public Bat State { get; private set; } = new();

    public IReadOnlyList<Entry> Entries => entries;

    /// <summary>The party behind an alias.</summary>
    public PartyId PartyOf(Alias alias) => known.First(k => k.Value == alias).Key;

    /// <summary>Tries an act: every entry it made with the state before it, or nothing and the reasons.</summary>
    public (IReadOnlyList<(Bat Before, Entry Entry)> Made, IReadOnlyList<Refusal> Refused) Try(BatCommand command)
    {
        clock = clock.AddHours(1);
        Introductions people = new(new Everybody(known), State.People.IsEmpty ? 0 : State.People.Keys.Max().Number);
        var facts = command.Produce(State, people);
        var by = people.Of(command.By, Role.Other);
        var state = State;
        List<(Bat, Entry)> made = [];
        foreach (var fact in facts)
        {
            var n = state.N + 1;
            Entry entry = new(
                new Envelope("ledger.example", Decisions.LatestRules, Stream, n, state.Head, clock, command.Occurred, by), made.Count == 0 ? fact with { Parties = people.Introduced } : fact,
                n.ToString("D42", CultureInfo.InvariantCulture) + "A");
            if (Decisions.Permit(state, entry, new Cited(entries.Append(Sale))) is { Count: > 0 } refused) return ([], refused);
            made.Add((state, entry));
            state = state.Fold(entry);
        }
        foreach (var (party, alias) in people.Given) known[party] = alias;
        entries.AddRange(made.Select(m => m.Item2));
        State = state;
        return (made, []);
    }

    sealed class Cited(IEnumerable<Entry> all) : ICited
    {
        public Entry? Find(Reference reference) => all.FirstOrDefault(e => e.N == reference.N && e.Hash == reference.Hash && e.Envelope.Stream == reference.Stream);
    }
}
