using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using Custody.Evidence;

namespace Custody.Bats.Tests;

/// <summary>Given commands, when a command, then facts or refusals: one stream, run through the same steps as the server runs. Every
/// decision and every step of the fold is taken twice, the second time with all withheld values erased, and must come out the same;
/// every state must survive being kept as JSON.</summary>
public sealed class Story<TState> where TState : StreamState<TState>, new()
{
    readonly Dictionary<PartyId, Alias> known = [];
    readonly List<Entry> entries = [];
    readonly Citable cited = new();
    readonly StreamName stream;
    DateTimeOffset clock = new(2024, 3, 1, 9, 0, 0, TimeSpan.Zero);

    /// <param name="letter">Tells streams of one kind apart.</param>
    public Story(string kind = "bat", char letter = '0') => stream = StreamName.Parse(kind + "/" + new string(letter, 25) + "0");

    public TState State { get; private set; } = new();

    public IReadOnlyList<Entry> Entries => entries;

    /// <summary>Someone invented, by a letter.</summary>
    public static PartyId Party(char letter) => PartyId.Parse("party/" + new string(char.ToUpperInvariant(letter), 25) + "0");

    public Alias AliasOf(PartyId party) => known[party];

    /// <summary>Moves the ledger's clock.</summary>
    public Story<TState> At(string utcDay)
    {
        clock = new(DateTime.Parse(utcDay, CultureInfo.InvariantCulture), TimeSpan.Zero);
        return this;
    }

    /// <summary>Makes an entry of another stream citable.</summary>
    public Story<TState> Citing(Entry entry)
    {
        cited.Add(entry);
        return this;
    }

    /// <summary>Records commands that must be permitted.</summary>
    public Story<TState> Given(params Command<TState>[] commands)
    {
        foreach (var command in commands)
        {
            var refusals = When(command);
            Assert.True(refusals.Count == 0, $"{command.GetType().Name}: {string.Join("; ", refusals.Select(r => r.Code + ": " + r.Sentence))}");
        }
        return this;
    }

    /// <summary>Tries a command: no refusals means it was recorded; with refusals nothing was.</summary>
    public IReadOnlyList<Refusal> When(Command<TState> command)
    {
        var people = new Introductions(new Everybody(known), State.People.IsEmpty ? 0 : State.People.Keys.Max().Number);
        var facts = command.Produce(State, people);
        Alias? by = command.LedgerSpeaks ? null : people.Of(command.By, Role.Other);
        var (state, fresh) = (State, new List<Entry>());
        for (var i = 0; i < facts.Count; i++)
        {
            var entry = Next(state, i == 0 ? facts[i] with { Parties = people.Introduced } : facts[i], command.Occurred, by);
            var refusals = Decisions.Permit(state, entry, cited.For(entry.Fact));
            Assert.Equal(refusals, Decisions.Permit(state, Erased.Copy(entry), cited.Erased.For(entry.Fact)));
            if (refusals.Count > 0) return refusals;
            Assert.Equal(Text(state.Fold(entry)), Text(state.Fold(Erased.Copy(entry))));
            state = state.Fold(entry);
            Assert.Equal(Text(state), Text(JsonSerializer.Deserialize<TState>(Text(state), JsonText.Options)!));
            fresh.Add(entry);
        }
        foreach (var (party, alias) in people.Given) known[party] = alias;
        entries.AddRange(fresh);
        fresh.ForEach(cited.Add);
        State = state;
        // A bat that says nothing waits has no open work on any day.
        if (State is Bat { Waits: false })
            Assert.Empty(Listed(History.Of(entries).AsCorrected().Work(new(9000, 1, 1, 0, 0, 0, TimeSpan.Zero))));
        clock = clock.AddMinutes(1);
        return [];
    }

    /// <summary>The one refusal code that a command must meet.</summary>
    public string Refused(Command<TState> command) => Assert.Single(When(command)).Code;

    Entry Next(TState state, Fact fact, Edtf? occurred, Alias? by) => new(
        new Envelope("ledger.example", Decisions.LatestRules, stream, state.N + 1, state.Head, clock, occurred, by), fact,
        Convert.ToBase64String(SHA256.HashData(Encoding.UTF8.GetBytes($"{stream} {state.N + 1} {fact.TypeName}"))).TrimEnd('=').Replace('+', '-').Replace('/', '_'));

    static IEnumerable<object> Listed(OpenWork work) =>
        [
            .. work.Entries, .. work.NotReceived, .. work.OverdueLoans, .. work.HoldsDue, .. work.Examinations, .. work.Sales, .. work.MixUps,
            .. work.OpenClaims, .. work.Missing, .. work.NewDamage,
        ];

    static string Text(TState state) => JsonSerializer.Serialize(state, JsonText.Options);

    sealed class Citable : ICited
    {
        readonly List<Entry> all;

        public Citable(IEnumerable<Entry>? entries = null) => all = [.. entries ?? []];

        public void Add(Entry entry) => all.Add(entry);

        /// <summary>The same entries as a stranger sees them.</summary>
        public Citable Erased => new Citable(all.Select(Tests.Erased.Copy));

        /// <summary>Only what the fact cites can be found, as in the ledger.</summary>
        public Citable For(Fact fact) => new Citable(all.Where(e => fact.Cites.Contains(e.Reference)));

        public Entry? Find(Reference reference) =>
            all.Find(e => e.Hash == reference.Hash && e.Envelope.Stream == reference.Stream && e.N == reference.N);
    }
}
