using System.Buffers;
using System.Buffers.Binary;
using System.IO.Hashing;
using System.Security.Cryptography;
using System.Text;

namespace Custody.Transparency;

/// <summary>Takes bytes.</summary>
delegate void PutBytes(ReadOnlySpan<byte> bytes);

/// <summary>Length and checksums of a file.</summary>
readonly record struct Measured(long Size, uint Crc, Hash Sha256)
{
    /// <summary>Reads a stream to its end, passing on what it reads.</summary>
    internal static Measured Over(Stream source, PutBytes? pass = null)
    {
        using var sha = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        var buffer = ArrayPool<byte>.Shared.Rent(1 << 17);
        try
        {
            var crc = new Crc32();
            var size = 0L;
            for (int read; (read = source.Read(buffer)) > 0; size += read)
            {
                var bytes = buffer.AsSpan(0, read);
                sha.AppendData(bytes);
                crc.Append(bytes);
                pass?.Invoke(bytes);
            }
            return new Measured(size, crc.GetCurrentHashAsUInt32(), Hash.FromBytes(sha.GetHashAndReset()));
        }
        finally
        {
            ArrayPool<byte>.Shared.Return(buffer);
        }
    }
}

/// <summary>
/// Writes a ZIP archive in which nothing depends on the machine or the moment: method Stored, sizes and checksum in front of each file, one
/// time for all, fixed attributes, UTF-8 names, ZIP64 fields only where a value needs them. Needs no seeking.
/// </summary>
sealed class StoredZipWriter(Stream destination, DateTimeOffset time)
{
    readonly record struct Written(byte[] Name, long Size, uint Crc, long Offset);

    readonly List<Written> written = [];
    readonly uint dosTime = DosTime(time.UtcDateTime);
    long position;

    // APPNOTE 4.4.6: two-second steps from 1980 to 2107; anything outside is the nearest end.
    static uint DosTime(DateTime t)
    {
        if (t.Year < 1980) t = new DateTime(1980, 1, 1, 0, 0, 0, DateTimeKind.Utc);
        if (t.Year > 2107) t = new DateTime(2107, 12, 31, 23, 59, 58, DateTimeKind.Utc);
        return (uint)(((t.Year - 1980) << 25) | (t.Month << 21) | (t.Day << 16) | (t.Hour << 11) | (t.Minute << 5) | (t.Second / 2));
    }

    /// <summary>Writes one file.</summary>
    /// <param name="name">Its name with slashes.</param>
    /// <param name="size">Bytes it will have.</param>
    /// <param name="crc">Checksum of them.</param>
    /// <param name="content">Hands over the bytes piece by piece.</param>
    /// <exception cref="IOException">There were more or fewer bytes.</exception>
    internal void Add(string name, long size, uint crc, Action<PutBytes> content)
    {
        var entry = new Written(Encoding.UTF8.GetBytes(name), size, crc, position);
        written.Add(entry);
        LocalHeader(entry);
        var start = position;
        content(Put);
        if (position - start != size) throw new IOException($"The file {name} changed while it was being packed.");
    }

    void LocalHeader(Written entry)
    {
        var big = ZipForm.Big(entry.Size);
        Span<byte> header = stackalloc byte[ZipForm.LocalSize];
        BinaryPrimitives.WriteUInt32LittleEndian(header, ZipForm.LocalSignature);
        Common(header[4..], entry, big, big ? 20 : 0);
        Put(header);
        Put(entry.Name);
        if (big) Extra([entry.Size, entry.Size]); // 4.5.3: in a local header both sizes or none
    }

    // The 26 bytes that a local header and a central one share: version needed to extra length.
    void Common(Span<byte> at, Written entry, bool bigSize, int extra)
    {
        BinaryPrimitives.WriteUInt16LittleEndian(at, bigSize ? ZipForm.Zip64 : ZipForm.Plain);
        BinaryPrimitives.WriteUInt16LittleEndian(at[2..], ZipForm.Utf8Names);
        BinaryPrimitives.WriteUInt16LittleEndian(at[4..], ZipForm.Stored);
        BinaryPrimitives.WriteUInt32LittleEndian(at[6..], dosTime);
        BinaryPrimitives.WriteUInt32LittleEndian(at[10..], entry.Crc);
        BinaryPrimitives.WriteUInt32LittleEndian(at[14..], bigSize ? ZipForm.Full32 : (uint)entry.Size);
        BinaryPrimitives.WriteUInt32LittleEndian(at[18..], bigSize ? ZipForm.Full32 : (uint)entry.Size);
        BinaryPrimitives.WriteUInt16LittleEndian(at[22..], checked((ushort)entry.Name.Length));
        BinaryPrimitives.WriteUInt16LittleEndian(at[24..], (ushort)extra);
    }

    void Extra(ReadOnlySpan<long> values)
    {
        Span<byte> extra = stackalloc byte[4 + (8 * values.Length)];
        BinaryPrimitives.WriteUInt16LittleEndian(extra, ZipForm.Zip64Extra);
        BinaryPrimitives.WriteUInt16LittleEndian(extra[2..], (ushort)(8 * values.Length));
        for (var i = 0; i < values.Length; i++) BinaryPrimitives.WriteInt64LittleEndian(extra[(4 + (8 * i))..], values[i]);
        Put(extra);
    }

    /// <summary>Writes the directory and the end record.</summary>
    internal void Finish()
    {
        var start = position;
        foreach (var entry in written) CentralHeader(entry);
        var (count, size) = (written.Count, position - start);
        if (count >= ZipForm.Full16 || ZipForm.Big(size) || ZipForm.Big(start)) End64(count, size, start);
        End(count, size, start);
    }

    void CentralHeader(Written entry)
    {
        var (bigSize, bigOffset) = (ZipForm.Big(entry.Size), ZipForm.Big(entry.Offset));
        long[] extra = [.. bigSize ? [entry.Size, entry.Size] : Array.Empty<long>(), .. bigOffset ? [entry.Offset] : Array.Empty<long>()];
        Span<byte> header = stackalloc byte[ZipForm.CentralSize];
        header.Clear(); // comment length, disk, internal attributes
        BinaryPrimitives.WriteUInt32LittleEndian(header, ZipForm.CentralSignature);
        BinaryPrimitives.WriteUInt16LittleEndian(header[4..], (ushort)(ZipForm.Unix | ZipForm.Plain));
        // Version needed must be the local header's own: an offset alone does not raise it, the reader compares the two.
        Common(header[6..], entry, bigSize, extra.Length > 0 ? 4 + (8 * extra.Length) : 0);
        BinaryPrimitives.WriteUInt32LittleEndian(header[38..], ZipForm.RegularFile);
        BinaryPrimitives.WriteUInt32LittleEndian(header[42..], bigOffset ? ZipForm.Full32 : (uint)entry.Offset);
        Put(header);
        Put(entry.Name);
        if (extra.Length > 0) Extra(extra);
    }

    void End64(int count, long size, long start)
    {
        var at = position;
        Span<byte> end = stackalloc byte[ZipForm.End64Size + ZipForm.Locator64Size];
        end.Clear();
        BinaryPrimitives.WriteUInt32LittleEndian(end, ZipForm.End64Signature);
        BinaryPrimitives.WriteInt64LittleEndian(end[4..], ZipForm.End64Size - 12);
        BinaryPrimitives.WriteUInt16LittleEndian(end[12..], (ushort)(ZipForm.Unix | ZipForm.Zip64));
        BinaryPrimitives.WriteUInt16LittleEndian(end[14..], ZipForm.Zip64);
        BinaryPrimitives.WriteInt64LittleEndian(end[24..], count);
        BinaryPrimitives.WriteInt64LittleEndian(end[32..], count);
        BinaryPrimitives.WriteInt64LittleEndian(end[40..], size);
        BinaryPrimitives.WriteInt64LittleEndian(end[48..], start);
        var locator = end[ZipForm.End64Size..];
        BinaryPrimitives.WriteUInt32LittleEndian(locator, ZipForm.Locator64Signature);
        BinaryPrimitives.WriteInt64LittleEndian(locator[8..], at);
        BinaryPrimitives.WriteUInt32LittleEndian(locator[16..], 1);
        Put(end);
    }

    void End(int count, long size, long start)
    {
        Span<byte> end = stackalloc byte[ZipForm.EndSize];
        end.Clear();
        var count16 = (ushort)Math.Min(count, ZipForm.Full16);
        BinaryPrimitives.WriteUInt32LittleEndian(end, ZipForm.EndSignature);
        BinaryPrimitives.WriteUInt16LittleEndian(end[8..], count16);
        BinaryPrimitives.WriteUInt16LittleEndian(end[10..], count16);
        BinaryPrimitives.WriteUInt32LittleEndian(end[12..], (uint)Math.Min(size, ZipForm.Full32));
        BinaryPrimitives.WriteUInt32LittleEndian(end[16..], (uint)Math.Min(start, ZipForm.Full32));
        Put(end);
    }

    void Put(ReadOnlySpan<byte> bytes)
    {
        destination.Write(bytes);
        position += bytes.Length;
    }
}
