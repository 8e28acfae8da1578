using System.Globalization;

namespace Custody.Server.Log;

/// <summary>Files named by the size of a tree, in twelve digits or more so that a listing of the folder stands in order. They are kept for ever.</summary>
/// <param name="suffix">Ends each name; empty for none.</param>
public sealed class SizedFiles(string folder, string suffix = "")
{
    public string Folder => folder;

    public string PathOf(long size) => Path.Combine(folder, size.ToString("D12", CultureInfo.InvariantCulture) + suffix);

    /// <summary>The file's bytes; null when there is none of that size.</summary>
    public byte[]? Read(long size) => File.Exists(PathOf(size)) ? File.ReadAllBytes(PathOf(size)) : null;

    /// <summary>Sizes of which there is a file, ascending; none where there is no folder yet. Drafts that a crash left are no files of a size.</summary>
    public long[] Sizes() => Directory.Exists(folder)
        ? [.. Directory.EnumerateFiles(folder).Select(f => Path.GetFileName(f)).Where(n => n.EndsWith(suffix, StringComparison.Ordinal))
            .Select(n => long.TryParse(n.AsSpan(0, n.Length - suffix.Length), NumberStyles.None, CultureInfo.InvariantCulture, out var size) ? size : -1).Where(s => s >= 0).Order()]
        : [];
}
