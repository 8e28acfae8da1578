using Custody.Bats;
using JasperFx.Events;
using Marten;
using NpgsqlTypes;
using Weasel.Postgresql.Tables;

namespace Custody.Server.Recording;

/// <summary>One kind of stream: how it is opened for an act, folded and stored.</summary>
public abstract class StreamKind(string name)
{
    public string Name { get; } = name;

    /// <summary>What its entries amount to: the type of the state kept beside each stream.</summary>
    public abstract Type State { get; }

    /// <summary>The type under which Marten keeps its entries.</summary>
    public abstract Type Stored { get; }

    public abstract void Configure(StoreOptions options);

    public abstract Task<OpenStream> Open(IDocumentSession session, StreamName stream, CancellationToken ct);

    /// <summary>The state that a stream's stored lines amount to; null when there are none.</summary>
    public abstract object? Fold(StreamName stream, IEnumerable<byte[]> lines);

    /// <summary>Appends a stored line as it is: an entry that comes back, or the line for one that is gone.</summary>
    public abstract void AppendLine(IDocumentSession session, StreamName stream, byte[] line);

    /// <summary>Makes the kept state of one stream again from its lines.</summary>
    public abstract Task Rebuild(IDocumentStore store, StreamName stream, CancellationToken ct);

    /// <summary>Every kind there is, by the word its stream names begin with.</summary>
    public static IReadOnlyDictionary<string, StreamKind> All { get; } = new StreamKind[]
    {
        new StreamKind<Bat, BatEntry>("bat", (b, e) => new(b, e)),
        new StreamKind<PartyState, PartyEntry>("party", (b, e) => new(b, e)),
        new StreamKind<HabitFile, HabitsEntry>("habits", (b, e) => new(b, e)),
        new StreamKind<ComparisonFile, ComparisonEntry>("comparison", (b, e) => new(b, e)),
        new StreamKind<Sale, SaleEntry>("sale", (b, e) => new(b, e)),
        new StreamKind<DossierState, DossierEntry>("dossier", (b, e) => new(b, e)),
        new StreamKind<LedgerState, LedgerEntry>("ledger", (b, e) => new(b, e)),
        new StreamKind<RubricFile, RubricEntry>("rubric", (b, e) => new(b, e)),
    }.ToDictionary(k => k.Name, StringComparer.Ordinal);

    public static StreamKind Of(StreamName stream) => All[stream.Kind];
}

/// <summary>A stream opened for one act: its state now, and where the next entry goes.</summary>
public abstract class OpenStream(StreamName name)
{
    public StreamName Name { get; } = name;

    public abstract bool Exists { get; }
    public abstract long N { get; }
    public abstract string? Head { get; }
    public abstract int Rules { get; }
    public abstract DateTimeOffset Recorded { get; }
    public abstract int LastAlias { get; }

    /// <summary>The command's facts, or null when the command belongs to another kind of stream.</summary>
    public abstract IReadOnlyList<Fact>? Produce(Command command, Introductions people);

    public abstract IReadOnlyList<Refusal> Permit(Entry entry, ICited cited);

    /// <summary>Appends a permitted entry and moves the state on, so that the next one of the same act stands on it.</summary>
    public abstract void Append(byte[] bytes, Entry entry);
}

sealed class StreamKind<TState, TStored>(string name, Func<byte[], StoredLine, TStored> make) : StreamKind(name)
    where TState : StreamState<TState>, new() where TStored : StoredEntry
{
    public override Type State => typeof(TState);

    public override Type Stored => typeof(TStored);

    public override void Configure(StoreOptions options)
    {
        options.Events.UseBinarySerializer<TStored>(new EntryBytes<TStored>(make));
        options.Events.MapEventType<TStored>(Name + "-entry-1");
        options.Projections.Add(new FoldProjection<TState, TStored>(), JasperFx.Events.Projections.ProjectionLifecycle.Inline);
        options.Schema.For<TState>().DocumentAlias(Name + "_state").Identity(s => s.Id);
        if (Name == "bat") BatsAreFound(options);
    }

    // Columns of their own, not indexes into the document: a state that changes while what it is found by does not then touches no index
    // (PostgreSQL's heap-only update).
    static void BatsAreFound(StoreOptions options) => options.Schema.For<Bat>()
        .Duplicate(b => b.Registration!.ShortNumber).UniqueIndex(Marten.Schema.UniqueIndexType.DuplicatedField, b => b.Registration!.ShortNumber)
        .Duplicate(b => b.Waits)
        .Duplicate(b => b.WeighedAgainst, "text[]", NpgsqlDbType.Array | NpgsqlDbType.Text, index => index.Method = IndexMethod.gin)
        .Duplicate(b => b.StoodIn, "text[]", NpgsqlDbType.Array | NpgsqlDbType.Text, index => index.Method = IndexMethod.gin);

    public override async Task<OpenStream> Open(IDocumentSession session, StreamName stream, CancellationToken ct) =>
        new Opened(stream, await session.Events.FetchForWriting<TState>(stream.ToString(), ct), make);

    public override object? Fold(StreamName stream, IEnumerable<byte[]> lines)
    {
        TState? state = null;
        foreach (var line in lines) state = StoredLine.Read(line).FoldInto(state, stream.ToString());
        return state;
    }

    public override void AppendLine(IDocumentSession session, StreamName stream, byte[] line) =>
        session.Events.Append(stream.ToString(), make(line, StoredLine.Read(line)));

    public override Task Rebuild(IDocumentStore store, StreamName stream, CancellationToken ct) => store.Advanced.RebuildSingleStreamAsync<TState>(stream.ToString(), ct);

    sealed class Opened(StreamName name, IEventStream<TState> stream, Func<byte[], StoredLine, TStored> make) : OpenStream(name)
    {
        TState state = stream.Aggregate ?? new TState();

        public override bool Exists => state.Exists;
        public override long N => state.N;
        public override string? Head => state.Head;
        public override int Rules => state.Rules;
        public override DateTimeOffset Recorded => state.Recorded;
        public override int LastAlias => state.People.IsEmpty ? 0 : state.People.Keys.Max().Number;

        public override IReadOnlyList<Fact>? Produce(Command command, Introductions people) =>
            command is Command<TState> mine ? mine.Produce(state, people) : null;

        public override IReadOnlyList<Refusal> Permit(Entry entry, ICited cited) => Decisions.Permit(state, entry, cited);

        public override void Append(byte[] bytes, Entry entry)
        {
            stream.AppendOne(make(bytes, new StoredLine(entry, null)));
            state = state.Fold(entry);
        }
    }
}
