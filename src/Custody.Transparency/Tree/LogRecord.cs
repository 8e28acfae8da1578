using System.Globalization;
using System.Text;

namespace Custody.Transparency;

/// <summary>
/// What the log holds of one entry: 64 bytes, the entry hash, then the slot tag. It tells an outsider nothing of the entry, and tells whoever
/// knows a stream whether its place n is taken.
/// </summary>
/// <param name="Entry">SHA-256 of the entry's canonical bytes.</param>
/// <param name="Slot">The slot tag, see <see cref="SlotTag"/>.</param>
public readonly record struct LogRecord(Hash Entry, Hash Slot)
{
    /// <summary>Bytes of a record.</summary>
    public const int Size = 2 * Hash.Size;

    /// <summary>Reads 64 bytes.</summary>
    /// <exception cref="Malformed"><c>record.length</c>: not 64 bytes.</exception>
    public static LogRecord FromBytes(ReadOnlySpan<byte> bytes) => bytes.Length == Size
        ? new LogRecord(Hash.FromBytes(bytes[..Hash.Size]), Hash.FromBytes(bytes[Hash.Size..]))
        : throw new Malformed("record.length", $"A log record has exactly {Size} bytes.");

    /// <summary>Writes the 64 bytes.</summary>
    public void CopyTo(Span<byte> destination)
    {
        Entry.CopyTo(destination);
        Slot.CopyTo(destination[Hash.Size..]);
    }

    /// <summary>The 64 bytes.</summary>
    public byte[] ToArray()
    {
        var bytes = new byte[Size];
        CopyTo(bytes);
        return bytes;
    }

    /// <summary>The record's hash as a leaf of the tree.</summary>
    public Hash Leaf()
    {
        Span<byte> bytes = stackalloc byte[Size];
        CopyTo(bytes);
        return Merkle.Leaf(bytes);
    }
}

/// <summary>The name of one place in one stream. It occurs once in a log; twice convicts the ledger of telling two histories.</summary>
public static class SlotTag
{
    /// <summary>SHA-256 of "custody/slot/v1", the ledger's origin, the stream and n in decimal, each but the last ending in LF.</summary>
    /// <param name="ledger">Origin of the ledger.</param>
    /// <param name="stream">Such as <c>bat/...</c>.</param>
    /// <param name="n">Place in the stream, from 1.</param>
    /// <exception cref="ArgumentException">A line feed in a name would let two places share a tag; or n below 1.</exception>
    public static Hash Compute(string ledger, string stream, long n)
    {
        if (ledger.Contains('\n', StringComparison.Ordinal) || stream.Contains('\n', StringComparison.Ordinal))
            throw new ArgumentException("Names in a slot tag hold no line feed.");
        ArgumentOutOfRangeException.ThrowIfLessThan(n, 1);
        return Hash.Of(Encoding.UTF8.GetBytes(string.Create(CultureInfo.InvariantCulture, $"custody/slot/v1\n{ledger}\n{stream}\n{n}")));
    }
}
