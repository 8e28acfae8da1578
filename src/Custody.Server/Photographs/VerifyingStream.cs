using System.Security.Cryptography;

namespace Custody.Server.Photographs;

/// <summary>
/// Hashes what is read through it and throws at the end if the whole was not the file asked for. Verifying while reading costs
/// no second pass and no memory, but the last block must be read before the first may be believed.
/// </summary>
sealed class VerifyingStream(Stream inner, ContentHash expected) : Stream
{
    readonly IncrementalHash hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
    bool checkedAtEnd;

    public override int Read(Span<byte> buffer) => Seen(buffer, inner.Read(buffer));
    public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

    public override async ValueTask<int> ReadAsync(Memory<byte> buffer, CancellationToken cancellationToken = default)
    {
        var read = await inner.ReadAsync(buffer, cancellationToken);
        return Seen(buffer.Span, read);
    }

    public override Task<int> ReadAsync(byte[] buffer, int offset, int count, CancellationToken cancellationToken) =>
      ReadAsync(buffer.AsMemory(offset, count), cancellationToken).AsTask();

    int Seen(Span<byte> buffer, int read)
    {
        hash.AppendData(buffer[..read]);
        // An empty buffer reads nothing without being the end.
        if (read > 0 || buffer.Length == 0 || checkedAtEnd) return read;
        checkedAtEnd = true;
        return ContentHash.FromDigest(hash.GetHashAndReset()) == expected ? 0 : throw new PictureDamagedException(expected);
    }

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            inner.Dispose();
            hash.Dispose();
        }
        base.Dispose(disposing);
    }

    public override bool CanRead => true;
    public override bool CanSeek => false;
    public override bool CanWrite => false;
    public override long Length => inner.Length;
    public override long Position { get => inner.Position; set => throw new NotSupportedException("A verified file is read once, forward."); }
    public override void Flush() => inner.Flush();
    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException("A verified file is read once, forward.");
    public override void SetLength(long value) => throw new NotSupportedException("A stored file is never changed.");
    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException("A stored file is never changed.");
}
