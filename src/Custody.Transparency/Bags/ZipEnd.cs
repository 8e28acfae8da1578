using System.Buffers.Binary;

namespace Custody.Transparency;

/// <summary>What the end of an archive says of its directory.</summary>
/// <param name="Count">Files.</param>
/// <param name="Start">Where the directory begins.</param>
/// <param name="Size">Bytes of the directory.</param>
readonly record struct ZipEnd(int Count, long Start, long Size)
{
    /// <summary>
    /// Reads the end record, which must be the last 22 bytes, and the ZIP64 one before it where it is needed. The number of files is judged
    /// here, before the directory costs anything.
    /// </summary>
    /// <exception cref="Malformed">Codes beginning <c>zip.</c>.</exception>
    internal static ZipEnd Read(Stream archive, ZipLimits limits)
    {
        var at = archive.Length - ZipForm.EndSize;
        var end = Record(archive, at, ZipForm.EndSize);
        if (end is null || BinaryPrimitives.ReadUInt32LittleEndian(end) != ZipForm.EndSignature || U16(end, 20) != 0)
            throw NotAtEnd(archive);
        if (U16(end, 4) != 0 || U16(end, 6) != 0 || U16(end, 8) != U16(end, 10))
            throw new Malformed("zip.multi-disk", "The archive is spread over several disks.", at);
        var (count, size, start) = ((long)U16(end, 10), (long)U32(end, 12), (long)U32(end, 16));
        if (count == ZipForm.Full16 || size == ZipForm.Full32 || start == ZipForm.Full32)
            (count, size, start, at) = Read64(archive, at, (count, size, start));
        return Judge(count, size, start, at, limits);
    }

    static ZipEnd Judge(long count, long size, long start, long at, ZipLimits limits)
    {
        if (count < 0 || size < 0 || start < 0) throw new Malformed("zip.directory", "The end record holds negative numbers.", at);
        if (count > limits.MaxEntries) throw new Malformed("zip.too-many-entries", $"The archive holds more than {limits.MaxEntries} files.", at);
        if (count == 0) throw new Malformed("zip.empty", "The archive holds no file.", at);
        if (size > count * (ZipForm.CentralSize + limits.MaxNameBytes + 28L))
            throw new Malformed("zip.directory-too-large", "The directory is larger than its files' names can make it.", at);
        if (start > at || size != at - start)
            throw new Malformed("zip.directory-place", "The directory does not lie right before the end record, or bytes were put in front.", at);
        return new ZipEnd((int)count, start, size);
    }

    // 4.3.14 and 4.3.15: locator right before the end record, ZIP64 record right before the locator.
    static (long Count, long Size, long Start, long At) Read64(Stream archive, long end, (long Count, long Size, long Start) small)
    {
        var at = end - ZipForm.Locator64Size - ZipForm.End64Size;
        var record = Record(archive, at, ZipForm.End64Size + ZipForm.Locator64Size);
        if (record is null || U32(record, 0) != ZipForm.End64Signature || U64(record, 4) != ZipForm.End64Size - 12
            || U32(record, 56) != ZipForm.Locator64Signature || U32(record, 60) != 0 || U64(record, 64) != at || U32(record, 72) != 1)
            throw new Malformed("zip.zip64", "The ZIP64 end record is missing or not where it must be.", end);
        if (U32(record, 16) != 0 || U32(record, 20) != 0 || U64(record, 24) != U64(record, 32))
            throw new Malformed("zip.multi-disk", "The archive is spread over several disks.", at);
        var (count, size, start) = (U64(record, 32), U64(record, 40), U64(record, 48));
        if (!Fits(small.Count, count, ZipForm.Full16) || !Fits(small.Size, size, ZipForm.Full32) || !Fits(small.Start, start, ZipForm.Full32))
            throw new Malformed("zip.zip64", "The two end records disagree.", at);
        return (count, size, start, at);
    }

    // A small field is all ones exactly when the value does not fit it, otherwise it is the value.
    static bool Fits(long small, long value, uint full) => small == full ? value >= full : small == value;

    static Malformed NotAtEnd(Stream archive)
    {
        // Only to say it better: an end record further up means something was added, none at all that the end is missing.
        var tail = (int)Math.Min(archive.Length, 1 << 16);
        var bytes = Record(archive, archive.Length - tail, tail) ?? [];
        return bytes.AsSpan().IndexOf("PK\x05\x06"u8) >= 0
            ? new Malformed("zip.trailing-bytes", "Bytes or a comment follow the archive.")
            : new Malformed("zip.no-end", "This is not a ZIP archive, or its end is missing.");
    }

    static byte[]? Record(Stream archive, long at, int size)
    {
        if (at < 0) return null;
        archive.Position = at;
        return ZipDirectory.Exactly(archive, size);
    }

    static ushort U16(byte[] bytes, int at) => BinaryPrimitives.ReadUInt16LittleEndian(bytes.AsSpan(at));

    static uint U32(byte[] bytes, int at) => BinaryPrimitives.ReadUInt32LittleEndian(bytes.AsSpan(at));

    static long U64(byte[] bytes, int at) => BinaryPrimitives.ReadInt64LittleEndian(bytes.AsSpan(at));
}
