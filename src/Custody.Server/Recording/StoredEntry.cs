using Custody.Bats;
using Custody.Ledger;
using JasperFx.Events;

namespace Custody.Server.Recording;

/// <summary>What one stored line says: an entry, or that one is gone.</summary>
/// <param name="Entry">Null when the entry is gone.</param>
public readonly record struct StoredLine(Entry? Entry, Gone? Gone)
{
    /// <exception cref="Custody.Transparency.Malformed">The bytes are neither.</exception>
    public static StoredLine Read(byte[] bytes) => Gone.IsOne(bytes) ? new(null, Gone.Read(bytes)) : new(EntryCodec.Read(bytes), null);

    /// <summary>The state after this line. Of an entry that is gone only its place in the chain is known: what it moved is not.</summary>
    public TState? FoldInto<TState>(TState? state, string stream) where TState : StreamState<TState>, new() =>
        Entry is { } entry ? (state ?? new TState()).Fold(entry)
        : Gone is { } gone ? (state ?? new TState()) with { Id = stream, N = gone.N, Head = gone.Hash }
        : state;
}

/// <summary>An event as Marten keeps it: the stored bytes, and what is read from them. One class for each kind of stream, so that
/// each kind has its own inline fold; the shape's name stands in the bytes.</summary>
public abstract class StoredEntry(byte[] bytes, StoredLine line)
{
    /// <summary>Canonical bytes of the entry, envelope included, or of the line for one that is gone. Never rebuilt from columns.</summary>
    public byte[] Bytes { get; } = bytes;

    public StoredLine Line { get; } = line;
}

public sealed class BatEntry(byte[] bytes, StoredLine line) : StoredEntry(bytes, line);

public sealed class PartyEntry(byte[] bytes, StoredLine line) : StoredEntry(bytes, line);

public sealed class HabitsEntry(byte[] bytes, StoredLine line) : StoredEntry(bytes, line);

public sealed class ComparisonEntry(byte[] bytes, StoredLine line) : StoredEntry(bytes, line);

public sealed class SaleEntry(byte[] bytes, StoredLine line) : StoredEntry(bytes, line);

public sealed class RubricEntry(byte[] bytes, StoredLine line) : StoredEntry(bytes, line);

public sealed class DossierEntry(byte[] bytes, StoredLine line) : StoredEntry(bytes, line);

public sealed class LedgerEntry(byte[] bytes, StoredLine line) : StoredEntry(bytes, line);

/// <summary>What is stored is what is hashed: Marten's binary payload is the entry's bytes and nothing else.</summary>
public sealed class EntryBytes<T>(Func<byte[], StoredLine, T> make) : IEventBinarySerializer where T : StoredEntry
{
    public byte[] Serialize(Type type, object data) => ((StoredEntry)data).Bytes;

    public object Deserialize(Type type, byte[] data) => make(data, StoredLine.Read(data));
}
