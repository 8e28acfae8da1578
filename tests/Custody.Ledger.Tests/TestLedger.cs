using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger.Tests;

/// <summary>A whole ledger in memory: streams, log, key, checkpoints, heads. Records by the same steps as the real one, and, where a test
/// wants a forger, without asking the rules.</summary>
sealed class TestLedger : IDisposable
{
    readonly List<LogRecord> log = [];
    readonly Dictionary<(int, long), Hash> known = [];
    readonly List<SignerKey> keys = [];
    readonly Samples random;

    /// <param name="promised">Seed of the key promised next; another one than the rightful ledger's for a forger's.</param>
    /// <param name="cosigners">Named in its first entry, whatever they are: the rules are not asked.</param>
    public TestLedger(string origin = "ledger.example", byte seed = 1, byte? promised = null, IReadOnlyList<string>? cosigners = null)
    {
        (Origin, random) = (origin, new Samples(seed));
        for (byte i = 0; i < 4; i++) keys.Add(SignerKey.FromSeed(origin, [.. Enumerable.Repeat((byte)((i == 0 ? seed : promised ?? seed) + i), 32)]));
        Own = new TestStream<LedgerState>(this, Name("ledger", 'L'));
        LedgerOpened opened = new(origin, Key.Verifier.Text, keys[1].Verifier.Digest.Text, cosigners ?? [], 0, 600);
        RulesAdopted rules = new(1, Hash.Of("the rules"u8).Text);
        if (cosigners is null) Own.Record(opened).Record(rules);
        else Own.Forge(opened).Forge(rules);
    }

    public string Origin { get; }

    /// <summary>The key that signs now.</summary>
    public SignerKey Key => keys[0];

    public TestStream<LedgerState> Own { get; }

    public DateTimeOffset Clock { get; set; } = new(2031, 4, 2, 9, 0, 0, TimeSpan.Zero);

    public long Size => log.Count;

    /// <summary>Every record of the log.</summary>
    public IReadOnlyList<LogRecord> Records => log;

    /// <summary>The checkpoint as it would be signed now.</summary>
    public byte[] SignedNow() => new Checkpoint(Origin, Size, Root).Sign(Key).ToArray();

    /// <summary>How far the slot tags given from now on are off.</summary>
    public long TagOff { get; set; }

    public void Fill(Span<byte> bytes) => random.Fill(bytes);

    public static StreamName Name(string kind, char letter) => StreamName.Parse(kind + "/" + new string(letter is 'L' or 'I' or 'O' or 'U' ? '7' : letter, 25) + "0");

    public static PartyId Party(char letter) => new(Name("party", letter));

    public TestStream<Bat> Bat(char letter = 'B') => new(this, Name("bat", letter));

    /// <summary>Puts an entry into the log; tells its index.</summary>
    public long Log(StreamName stream, long n, string hash)
    {
        log.Add(new LogRecord(Hash.Parse(hash), SlotTag.Compute(Origin, stream.ToString(), n + TagOff)));
        return log.Count - 1;
    }

    /// <summary>Hands over to the promised next key, as a rotation or after a compromise.</summary>
    public void Rotate(bool compromised = false)
    {
        var (old, note) = (keys[0], RotationNote(compromised));
        keys.RemoveAt(0);
        Own.Record(compromised ? new KeyCompromised(note) : new KeyRotated(note));
        Earlier.Add(old);
    }

    public string RotationNote(bool compromised = false)
    {
        var rotation = new KeyRotation(Origin, keys[0].Verifier, keys[1].Verifier, keys[2].Verifier.Digest, Size, Root, compromised);
        return System.Text.Encoding.UTF8.GetString(SignedNote.Sign(rotation.Text, compromised ? [keys[1]] : [keys[0], keys[1]]).ToArray());
    }

    /// <summary>Keys that signed before.</summary>
    public List<SignerKey> Earlier { get; } = [];

    Hash Root => Merkle.Root(log.Count, Hashes);

    // Hash of a complete subtree, straight from the definition; it never changes, so it is worked out once.
    Hash Hashes(int level, long index)
    {
        if (known.TryGetValue((level, index), out var hash)) return hash;
        hash = level == 0 ? log[(int)index].Leaf() : Merkle.Node(Hashes(level - 1, index * 2), Hashes(level - 1, (index * 2) + 1));
        return known[(level, index)] = hash;
    }

    /// <summary>The checkpoint of the log as it stands.</summary>
    public SignedNote Signed() => SignedAt(Size);

    /// <summary>The checkpoint of the log as it stood at a size, signed by the key that signs now.</summary>
    public SignedNote SignedAt(long size) => new Checkpoint(Origin, size, Merkle.Root(size, Hashes)).Sign(Key);

    /// <summary>The file that leads from a tree of this size to the present one.</summary>
    public byte[] Consistency(long size) =>
        System.Text.Encoding.ASCII.GetBytes(string.Concat(Merkle.ConsistencyProof(size, Size, Hashes).Select(h => h.Standard + "\n")));

    /// <summary>The parts of a dossier for a stream, at the present size of the log.</summary>
    /// <param name="cited">Entries of other streams that it rests on, with their log index.</param>
    public LedgerContents Contents(ITestStream stream, params (long Index, byte[] Bytes)[] cited)
    {
        var checkpoint = new Checkpoint(Origin, Size, Root);
        var note = checkpoint.Sign(Key).ToArray();
        var last = stream.Lines[^1];
        var head = new Head(Origin, stream.Name.ToString(), last.N, Hash.Parse(last.Hash), Size, checkpoint.Root, Clock).Sign(Key).ToArray();
        var context = Own.Lines.Select(l => (l.Index, l.Bytes)).Concat(cited).OrderBy(c => c.Index).ToList();
        var proofs = context.Select(c => c.Index).Concat(stream.Lines.Select(l => l.Index))
            .ToDictionary(i => i, i => (ReadOnlyMemory<byte>)new TlogProof(i, Merkle.InclusionProof(i, Size, Hashes), note).ToArray());
        return new LedgerContents(
            Origin, [.. stream.Lines.Select(l => (ReadOnlyMemory<byte>)l.Bytes)], [.. context.Select(c => (ReadOnlyMemory<byte>)c.Bytes)], proofs, note, head,
            new Dictionary<string, ReadOnlyMemory<byte>>());
    }

    public void Dispose()
    {
        foreach (var key in keys.Concat(Earlier)) key.Dispose();
    }
}

/// <summary>One line of a stream as the ledger stored it.</summary>
sealed record StoredLine(long N, string Hash, byte[] Bytes, long Index, IReadOnlyList<WithheldValue> Withheld);

interface ITestStream
{
    StreamName Name { get; }
    IReadOnlyList<StoredLine> Lines { get; }
}

sealed class TestStream<TState>(TestLedger ledger, StreamName name) : ITestStream where TState : StreamState<TState>, new()
{
    readonly Dictionary<PartyId, Alias> known = [];
    readonly List<StoredLine> lines = [];
    int citable; // lines put into Citable so far

    public StreamName Name => name;

    public IReadOnlyList<StoredLine> Lines => lines;

    public TState State { get; private set; } = new();

    /// <summary>What entries of this stream may cite.</summary>
    public CitableEntries Citable { get; } = new();

    public Reference Reference(long n) => new(null, name, n, lines[(int)n - 1].Hash);

    /// <summary>Records a command that the rules must permit.</summary>
    public TestStream<TState> Do(Command<TState> command)
    {
        var people = new Introductions(new AllKnown(known), State.People.IsEmpty ? 0 : State.People.Keys.Max().Number);
        var facts = command.Produce(State, people);
        var by = people.Of(command.By, Role.Other);
        foreach (var (party, alias) in people.Given) known[party] = alias;
        for (var i = 0; i < facts.Count; i++)
            Record(i == 0 ? facts[i] with { Parties = people.Introduced } : facts[i], at => at with { Occurred = command.Occurred, By = by });
        return this;
    }

    /// <summary>Records a fact that the rules must permit.</summary>
    public TestStream<TState> Record(Fact<TState> fact, Func<Envelope, Envelope>? change = null)
    {
        var entry = Store(fact, change);
        foreach (var line in lines[citable..^1]) Citable.Add(line.Index, EntryCodec.Read(line.Bytes));
        citable = lines.Count - 1;
        var refusals = Decisions.Permit(State, entry, Citable.Before(lines[^1].Index));
        if (refusals.Count > 0) throw new InvalidOperationException(string.Join("; ", refusals.Select(r => $"{fact.TypeName}: {r.Code} {r.Sentence}")));
        State = State.Fold(entry);
        return this;
    }

    /// <summary>Records a fact without asking the rules, in whatever envelope a forger likes.</summary>
    public TestStream<TState> Forge(Fact fact, Func<Envelope, Envelope>? change = null)
    {
        Store(fact, change);
        return this;
    }

    /// <summary>Stores bytes that the product's own writer would not write.</summary>
    public TestStream<TState> ForgeBytes(Fact fact, Func<byte[], byte[]> change)
    {
        var at = Next(null);
        var written = EntryCodec.Write(at, fact, ledger.Fill);
        Keep(at, change(written.Bytes), written.Withheld);
        return this;
    }

    Entry Store(Fact fact, Func<Envelope, Envelope>? change)
    {
        var at = Next(change);
        var written = EntryCodec.Write(at, fact, ledger.Fill);
        Keep(at, written.Bytes, written.Withheld);
        return EntryCodec.Read(written.Bytes);
    }

    void Keep(Envelope at, byte[] bytes, IReadOnlyList<WithheldValue> withheld)
    {
        var hash = Hash.Of(bytes).Text;
        lines.Add(new StoredLine(at.N, hash, bytes, ledger.Log(at.Stream, at.N, hash), withheld));
        ledger.Clock = ledger.Clock.AddMinutes(1);
    }

    Envelope Next(Func<Envelope, Envelope>? change)
    {
        var at = new Envelope(ledger.Origin, 1, name, lines.Count + 1, lines.Count == 0 ? null : lines[^1].Hash, ledger.Clock, null, null);
        return change?.Invoke(at) ?? at;
    }

    /// <summary>Disclosures of the values of this name.</summary>
    public IEnumerable<Shown> Show(params string[] names) =>
        lines.SelectMany(l => l.Withheld.Where(w => names.Contains(w.Name)).Select(w => new Shown(name.ToString(), l.N, w.Pointer, w.Disclosure)));

    // Any party may be named in a test: those without an alias are simply new.
    sealed class AllKnown(Dictionary<PartyId, Alias> known) : Dictionary<PartyId, KnownParty>, IReadOnlyDictionary<PartyId, KnownParty>
    {
        KnownParty IReadOnlyDictionary<PartyId, KnownParty>.this[PartyId party] =>
            new(known.TryGetValue(party, out var alias) ? alias : null, "Someone of " + party.ToString()[6..8]);
    }
}
