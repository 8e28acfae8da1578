using Custody.Bats;
using Custody.Ledger;
using JasperFx.Events;

namespace Custody.Server.Recording;

/// <summary>An event as Marten keeps it: the entry's own bytes, and the entry read from them. One class for each kind of stream, so that
/// each kind has its own inline fold; the shape's name stands in the bytes.</summary>
public abstract class StoredEntry(byte[] bytes, Entry entry)
{
    /// <summary>Canonical bytes of the entry, envelope included. Never rebuilt from columns.</summary>
    public byte[] Bytes { get; } = bytes;

    public Entry Entry { get; } = entry;
}

public sealed class BatEntry(byte[] bytes, Entry entry) : StoredEntry(bytes, entry);

public sealed class PartyEntry(byte[] bytes, Entry entry) : StoredEntry(bytes, entry);

public sealed class HabitsEntry(byte[] bytes, Entry entry) : StoredEntry(bytes, entry);

public sealed class ComparisonEntry(byte[] bytes, Entry entry) : StoredEntry(bytes, entry);

public sealed class SaleEntry(byte[] bytes, Entry entry) : StoredEntry(bytes, entry);

public sealed class RubricEntry(byte[] bytes, Entry entry) : StoredEntry(bytes, entry);

public sealed class DossierEntry(byte[] bytes, Entry entry) : StoredEntry(bytes, entry);

public sealed class LedgerEntry(byte[] bytes, Entry entry) : StoredEntry(bytes, entry);

/// <summary>What is stored is what is hashed: Marten's binary payload is the entry's bytes and nothing else.</summary>
public sealed class EntryBytes<T>(Func<byte[], Entry, T> make) : IEventBinarySerializer where T : StoredEntry
{
    public byte[] Serialize(Type type, object data) => ((StoredEntry)data).Bytes;

    public object Deserialize(Type type, byte[] data) => make(data, EntryCodec.Read(data));
}
