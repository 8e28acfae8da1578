using System.IO.Hashing;

namespace Custody.Transparency;

/// <summary>
/// A stretch of a larger stream, read forwards. Seeks before each reading, so several windows of one stream may be read in turns (not at once).
/// </summary>
class Window(Stream whole, long start, long length) : Stream
{
    long at;

    public override int Read(Span<byte> buffer)
    {
        var count = (int)Math.Min(buffer.Length, length - at);
        if (count <= 0) return 0;
        whole.Position = start + at;
        var read = whole.Read(buffer[..count]);
        if (read == 0) throw new Malformed("zip.truncated", "The archive ends too early.");
        at += read;
        return read;
    }

    public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

    public override bool CanRead => true;
    public override bool CanSeek => false;
    public override bool CanWrite => false;
    public override long Length => length;
    public override long Position { get => at; set => throw new NotSupportedException(); }
    public override void Flush() { }
    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();
    public override void SetLength(long value) => throw new NotSupportedException();
    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();
}

/// <summary>A file of an archive while it is read: at its end the checksum must fit.</summary>
sealed class CheckedWindow(Stream whole, ZipEntry entry) : Window(whole, entry.Content, entry.Size)
{
    // CRC-32 as ZIP uses it (APPNOTE 4.4.7).
    readonly Crc32 crc = new();

    public override int Read(Span<byte> buffer)
    {
        var read = base.Read(buffer);
        crc.Append(buffer[..read]);
        if (Position == Length && buffer.Length > 0 && crc.GetCurrentHashAsUInt32() != entry.Crc)
            throw new Malformed("zip.crc", $"The checksum of {entry.Name} does not fit its content.");
        return read;
    }
}
