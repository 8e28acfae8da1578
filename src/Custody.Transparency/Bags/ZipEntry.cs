namespace Custody.Transparency;

/// <summary>One file of an archive.</summary>
/// <param name="Name">Its name with slashes.</param>
/// <param name="Size">Bytes.</param>
/// <param name="Crc">CRC-32 the archive claims; checked whenever the file is read.</param>
public sealed record ZipEntry(string Name, long Size, uint Crc)
{
    /// <summary>Where the local header begins.</summary>
    internal long Header { get; init; }

    /// <summary>Where the content begins.</summary>
    internal long Content { get; init; }
}
