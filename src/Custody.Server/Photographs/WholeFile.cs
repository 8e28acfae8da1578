using System.Buffers.Binary;
using System.IO.Hashing;

namespace Custody.Server.Photographs;

/// <summary>
/// Checks that a file's own structure reaches its end, before any decoder sees it. Decoders are built to show what they can; a
/// ledger must know that what it keeps is the whole file. Reads lengths only, allocates nothing.
/// </summary>
static class WholeFile
{
    /// <summary>Null if the structure is whole and holds one picture.</summary>
    public static FileRefusal? Check(FileKind kind, ReadOnlySpan<byte> bytes) => kind switch
    {
        FileKind.Png => Png(bytes),
        FileKind.WebP => WebP(bytes),
        FileKind.Heic => Boxes(bytes),
        // JPEG states no lengths for its scans; the decoder's own end-of-data warning is the check (see Decoder).
        _ => null,
    };

    /// <summary>ISO/IEC 15948 (PNG) 5.3: length, type, data, CRC over type and data; IHDR first, IEND last.
    /// The announced size is judged here because the decoder calls one beyond its limit merely invalid.</summary>
    static FileRefusal? Png(ReadOnlySpan<byte> bytes)
    {
        if (bytes.Length >= 24 && bytes[12..16].SequenceEqual("IHDR"u8)
          && Decoder.TooLarge(BinaryPrimitives.ReadUInt32BigEndian(bytes[16..]), BinaryPrimitives.ReadUInt32BigEndian(bytes[20..])) is { } tooLarge)
            return tooLarge;
        for (var at = 8; ;)
        {
            if (at + 12 > bytes.Length) return FileRefusal.Cut("a PNG chunk is missing at the end");
            var length = BinaryPrimitives.ReadUInt32BigEndian(bytes[at..]);
            if (length > bytes.Length - at - 12) return FileRefusal.Cut("a PNG chunk runs past the end");
            var typed = bytes.Slice(at + 4, 4 + (int)length);
            if (Crc32.HashToUInt32(typed) != BinaryPrimitives.ReadUInt32BigEndian(bytes[(at + 8 + (int)length)..]))
                return FileRefusal.Broken("a PNG chunk does not fit its own check sum (CRC)");
            // acTL announces an animation (PNG third edition 11.3.6.1).
            if (typed.StartsWith("acTL"u8)) return FileRefusal.Frames();
            if (typed.StartsWith("IEND"u8)) return null;
            at += 12 + (int)length;
        }
    }

    /// <summary>RIFF: the length at byte 4 counts everything after it. VP8X flag bit 1 announces an animation (RFC 9649 2.7.1).</summary>
    static FileRefusal? WebP(ReadOnlySpan<byte> bytes)
    {
        if (BinaryPrimitives.ReadUInt32LittleEndian(bytes[4..]) + 8L > bytes.Length) return FileRefusal.Cut("the WebP container is longer than the file");
        var animated = bytes.Length > 20 && bytes[12..16].SequenceEqual("VP8X"u8) && (bytes[20] & 0b10) != 0;
        return animated ? FileRefusal.Frames() : null;
    }

    /// <summary>ISO/IEC 14496-12 4.2: top-level boxes follow each other to the end; size 1 means a 64-bit size, 0 means to the end.</summary>
    static FileRefusal? Boxes(ReadOnlySpan<byte> bytes)
    {
        for (long at = 0; at < bytes.Length;)
        {
            if (at + 8 > bytes.Length) return FileRefusal.Cut("a HEIC box is missing at the end");
            long size = BinaryPrimitives.ReadUInt32BigEndian(bytes[(int)at..]);
            if (size == 0) return null;
            if (size == 1)
            {
                if (at + 16 > bytes.Length) return FileRefusal.Cut("a HEIC box is missing at the end");
                size = BinaryPrimitives.ReadInt64BigEndian(bytes[((int)at + 8)..]);
            }
            if (size < 8) return FileRefusal.Broken("a HEIC box is shorter than its own header");
            if (size > bytes.Length - at) return FileRefusal.Cut("a HEIC box runs past the end");
            at += size;
        }
        return null;
    }
}
