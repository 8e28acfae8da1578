namespace Custody.Server.Photographs;

/// <summary>Reads a stream to memory up to a limit.</summary>
static class Arrival
{
    /// <summary>The bytes, or a refusal if there are none or more than the limit; never reads more than one block past it.</summary>
    public static async Task<(byte[]? Bytes, FileRefusal? Refusal)> Read(Stream content, long limit, CancellationToken ct)
    {
        using var memory = new MemoryStream();
        var block = new byte[81920];
        for (int read; (read = await content.ReadAsync(block, ct)) > 0;)
        {
            memory.Write(block, 0, read);
            if (memory.Length > limit) return (null, FileRefusal.Larger(limit));
        }
        return memory.Length == 0 ? (null, FileRefusal.IsEmpty()) : (memory.ToArray(), null);
    }
}
