namespace Custody.Transparency;

/// <summary>
/// Reads a bag's archive from a stream that can seek. Everything two readers could understand differently is refused when it is opened, by
/// looking only at headers; contents are streamed and their checksums tested as they pass. One thread at a time.
/// </summary>
public sealed class BagZipReader
{
    readonly Stream archive;
    readonly Dictionary<string, ZipEntry> byName;

    BagZipReader(Stream archive, List<ZipEntry> entries)
    {
        this.archive = archive;
        Entries = entries;
        byName = entries.ToDictionary(e => e.Name, StringComparer.Ordinal);
    }

    /// <summary>The files in the order in which they lie.</summary>
    public IReadOnlyList<ZipEntry> Entries { get; }

    /// <summary>Reads the archive's directory and every file's header.</summary>
    /// <param name="archive">A stream that can seek; stays open and belongs to the caller.</param>
    /// <param name="limits">What is accepted at most; <see cref="ZipLimits.Default"/> if not given.</param>
    /// <exception cref="Malformed">Codes beginning <c>zip.</c>: no-end, trailing-bytes, multi-disk, zip64, too-many-entries, empty,
    /// directory-too-large, directory-place, directory, too-large, leading-bytes, gap, overlap, truncated, encrypted, data-descriptor, flags,
    /// compressed, version, link, folder, special, comment, extra, sizes, name, name-encoding, backslash, absolute, dot-segment, too-deep,
    /// duplicate-name, twin-name, file-and-folder, local-header, local-name, local-differs.</exception>
    public static BagZipReader Open(Stream archive, ZipLimits? limits = null)
    {
        if (!archive.CanSeek) throw new ArgumentException("The archive's stream must be able to seek.", nameof(archive));
        return new BagZipReader(archive, new ZipDirectory(archive, limits ?? ZipLimits.Default).Read());
    }

    /// <summary>The file of this name, or null.</summary>
    public ZipEntry? Find(string name) => byName.GetValueOrDefault(name);

    /// <summary>Opens a file's content. Reading to its end throws <see cref="Malformed"/> <c>zip.crc</c> if the checksum does not fit.</summary>
    public Stream Content(ZipEntry entry) => new CheckedWindow(archive, entry);

    /// <summary>Reads a whole file into memory.</summary>
    /// <param name="entry">The file.</param>
    /// <param name="maxBytes">Most bytes to take.</param>
    /// <exception cref="Malformed"><c>zip.file-too-large</c>, <c>zip.crc</c>, <c>zip.truncated</c>.</exception>
    public byte[] ReadAll(ZipEntry entry, int maxBytes)
    {
        if (entry.Size > maxBytes) throw new Malformed("zip.file-too-large", $"The file {entry.Name} has more than {maxBytes} bytes.");
        var bytes = new byte[entry.Size];
        using var content = Content(entry);
        content.ReadExactly(bytes);
        if (bytes.Length == 0 && entry.Crc != 0) throw new Malformed("zip.crc", $"The checksum of {entry.Name} does not fit its content.");
        return bytes;
    }
}
