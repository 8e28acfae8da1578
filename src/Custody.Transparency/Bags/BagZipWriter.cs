namespace Custody.Transparency;

/// <summary>
/// Packs a BagIt 1.0 bag (RFC 8493) in one folder of a ZIP archive. The same files, labels and time give the same bytes on every machine.
/// Files are read twice, first to measure and then to copy, and never held in memory.
/// </summary>
public static class BagZipWriter
{
    /// <summary>Writes the whole archive.</summary>
    /// <param name="destination">Where to; written from its present position on, never sought.</param>
    /// <param name="folder">Name of the one folder everything lies in.</param>
    /// <param name="files">Payload and further tag files in any order; the bag's own text files are made here.</param>
    /// <param name="info">Labels of bag-info.txt in order, without Payload-Oxum.</param>
    /// <param name="time">The time every file carries, to two seconds, UTC.</param>
    /// <exception cref="Malformed">A name that no bag may hold, with the reader's own code.</exception>
    /// <exception cref="ArgumentException">A file that the bag makes itself, or a label that does not fit a line.</exception>
    /// <exception cref="IOException">A file changed between the two readings.</exception>
    public static void Write(
        Stream destination, string folder, IEnumerable<BagFile> files, IEnumerable<KeyValuePair<string, string>> info, DateTimeOffset time)
    {
        var all = files.Select(file => Measure(Given(file))).ToList();
        AddTagFiles(all, info);
        var names = new ZipNames(ZipLimits.Default with { MaxEntries = int.MaxValue, MaxBytes = long.MaxValue });
        var zip = new StoredZipWriter(destination, time);
        foreach (var (file, measured) in all.OrderBy(f => f.File.Path != BagText.Declaration).ThenBy(f => f.File.Path, StringComparer.Ordinal))
        {
            names.Add($"{folder}/{file.Path}");
            zip.Add($"{folder}/{file.Path}", measured.Size, measured.Crc, put => Copy(file, measured, put));
        }
        names.CheckFolders();
        zip.Finish();
    }

    static void Copy(BagFile file, Measured measured, PutBytes put)
    {
        using var content = file.Open();
        if (Measured.Over(content, put) != measured) throw new IOException($"The file {file.Path} changed while it was being packed.");
    }

    static BagFile Given(BagFile file) => file.Path is BagText.Declaration or BagText.Info or BagText.Manifest or BagText.TagManifest
        ? throw new ArgumentException($"The bag makes its own {file.Path}.", nameof(file))
        : file;

    static (BagFile File, Measured Measured) Measure(BagFile file)
    {
        using var content = file.Open();
        return (file, Measured.Over(content));
    }

    static void AddTagFiles(List<(BagFile File, Measured Measured)> all, IEnumerable<KeyValuePair<string, string>> info)
    {
        var payload = all.Where(f => f.File.IsPayload).ToList();
        void Add(string path, byte[] bytes) => all.Add(Measure(BagFile.Of(path, bytes)));
        Add(BagText.Declaration, BagText.DeclarationBytes.ToArray());
        Add(BagText.Info, BagText.WriteInfo(info, payload.Sum(f => f.Measured.Size), payload.Count));
        Add(BagText.Manifest, BagText.WriteManifest(payload.Select(f => (f.File.Path, f.Measured.Sha256))));
        Add(BagText.TagManifest, BagText.WriteManifest(all.Where(f => !f.File.IsPayload).Select(f => (f.File.Path, f.Measured.Sha256))));
    }
}
