using System.Buffers.Binary;

namespace Custody.Transparency;

/// <summary>A bundle of entries (c2sp.org/tlog-tiles, "Log Entries"): each a big-endian 16-bit length and its bytes. The entries here are log records.</summary>
public static class EntryBundle
{
    /// <summary>Bytes that one entry takes in a bundle: its length and itself.</summary>
    internal const int Step = 2 + LogRecord.Size;

    /// <summary>Writes at most 256 records.</summary>
    public static byte[] Write(ReadOnlySpan<LogRecord> records)
    {
        ArgumentOutOfRangeException.ThrowIfGreaterThan(records.Length, Tile.FullWidth);
        var bytes = new byte[records.Length * Step];
        for (var i = 0; i < records.Length; i++)
        {
            var entry = bytes.AsSpan(i * Step, Step);
            BinaryPrimitives.WriteUInt16BigEndian(entry, LogRecord.Size);
            records[i].CopyTo(entry[2..]);
        }
        return bytes;
    }

    /// <summary>Reads a whole bundle.</summary>
    /// <exception cref="Malformed"><c>bundle</c>: empty, more than 256 entries, an entry of another length, or bytes over.</exception>
    public static LogRecord[] Read(ReadOnlySpan<byte> bytes)
    {
        if (bytes.Length == 0 || bytes.Length % Step != 0 || bytes.Length / Step > Tile.FullWidth)
            throw new Malformed("bundle", "A bundle holds 1 to 256 records of 64 bytes, each after its length.");
        var records = new LogRecord[bytes.Length / Step];
        for (var i = 0; i < records.Length; i++)
        {
            var entry = bytes.Slice(i * Step, Step);
            if (BinaryPrimitives.ReadUInt16BigEndian(entry) != LogRecord.Size)
                throw new Malformed("bundle", "An entry of the bundle is not a record of 64 bytes.", i * Step);
            records[i] = LogRecord.FromBytes(entry[2..]);
        }
        return records;
    }
}
