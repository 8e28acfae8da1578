using System.Globalization;

namespace Custody.Transparency;

/// <summary>Something wrong with a bag.</summary>
/// <param name="Code">Stable dotted word.</param>
/// <param name="Sentence">One English sentence.</param>
/// <param name="Path">The file concerned, below the bag's folder; empty when it is the bag.</param>
public sealed record BagFault(string Code, string Sentence, string Path = "");

/// <summary>
/// A BagIt 1.0 bag (RFC 8493) in the one folder of an archive, with SHA-256 manifests for payload and tag files. Manifests guard against
/// accidents; against malice only signatures do (section 5.4).
/// </summary>
public sealed class Bag
{
    const int MaxTagFile = 64 << 20;

    readonly BagZipReader archive;
    readonly Dictionary<string, ZipEntry> files;
    readonly Dictionary<string, Hash> digests = new(StringComparer.Ordinal);

    Bag(BagZipReader archive, string folder)
    {
        this.archive = archive;
        Folder = folder;
        files = archive.Entries.ToDictionary(e => e.Name[(folder.Length + 1)..], StringComparer.Ordinal);
    }

    /// <summary>Name of the folder the bag lies in.</summary>
    public string Folder { get; }

    /// <summary>Paths of all files below the folder, in ordinal order.</summary>
    public IEnumerable<string> Paths => files.Keys.Order(StringComparer.Ordinal);

    /// <summary>Finds the bag in an archive.</summary>
    /// <exception cref="Malformed"><c>bag.folder</c>: not everything lies in one folder; <c>bag.declaration</c>: no bagit.txt in it.</exception>
    public static Bag In(BagZipReader archive)
    {
        var first = archive.Entries[0].Name;
        var slash = first.IndexOf('/', StringComparison.Ordinal);
        var folder = slash < 0 ? "" : first[..slash];
        if (slash < 0 || archive.Entries.Any(e => !e.Name.StartsWith(folder + "/", StringComparison.Ordinal)))
            throw new Malformed("bag.folder", "Not everything in the archive lies in one folder.");
        if (archive.Find($"{folder}/{BagText.Declaration}") is null) throw new Malformed("bag.declaration", "The folder holds no bagit.txt.");
        return new Bag(archive, folder);
    }

    /// <summary>Whether there is such a file.</summary>
    public bool Has(string path) => files.ContainsKey(path);

    /// <summary>Size of a file in bytes.</summary>
    /// <exception cref="Malformed"><c>bag.missing-file</c>.</exception>
    public long Size(string path) => Entry(path).Size;

    /// <summary>Opens a file; see <see cref="BagZipReader.Content"/>.</summary>
    /// <exception cref="Malformed"><c>bag.missing-file</c>.</exception>
    public Stream Open(string path) => archive.Content(Entry(path));

    /// <summary>Reads a whole file; see <see cref="BagZipReader.ReadAll"/>.</summary>
    /// <exception cref="Malformed"><c>bag.missing-file</c>, <c>zip.file-too-large</c>, <c>zip.crc</c>.</exception>
    public byte[] ReadAll(string path, int maxBytes) => archive.ReadAll(Entry(path), maxBytes);

    /// <summary>SHA-256 of a file. Worked out once: files may be large, and whoever validates the bag needs it too.</summary>
    /// <exception cref="Malformed"><c>bag.missing-file</c>, <c>zip.crc</c>.</exception>
    public Hash Digest(string path)
    {
        if (digests.TryGetValue(path, out var known)) return known;
        using var content = Open(path);
        var measured = Measured.Over(content);
        if (measured.Crc != Entry(path).Crc) throw new Malformed("zip.crc", "The checksum of an empty file does not fit.");
        return digests[path] = measured.Sha256;
    }

    ZipEntry Entry(string path) => files.GetValueOrDefault(path) ?? throw new Malformed("bag.missing-file", $"The bag holds no {path}.");

    /// <summary>Labels and values of bag-info.txt in order.</summary>
    /// <exception cref="Malformed"><c>bag.info</c>, <c>bag.missing-file</c>.</exception>
    public IReadOnlyList<KeyValuePair<string, string>> Info() => BagText.ReadInfo(ReadAll(BagText.Info, MaxTagFile));

    /// <summary>
    /// Everything that keeps the bag from being complete and valid (section 3): reads every file once. Empty means both. Codes:
    /// bag.declaration, bag.manifest, bag.missing-file, bag.unlisted-file, bag.digest, bag.info, bag.oxum, bag.fetch, bag.algorithm, and
    /// zip.crc.
    /// </summary>
    public IReadOnlyList<BagFault> Validate()
    {
        var faults = new List<BagFault>();
        Try(faults, BagText.Declaration, () => CheckDeclaration(faults));
        Try(faults, BagText.Manifest, () => CheckManifest(faults, BagText.Manifest, IsPayload));
        Try(faults, BagText.TagManifest, () => CheckManifest(faults, BagText.TagManifest, p => !IsPayload(p) && p != BagText.TagManifest));
        Try(faults, BagText.Info, () => CheckOxum(faults));
        foreach (var path in files.Keys.Where(p => !p.Contains('/', StringComparison.Ordinal)).Order(StringComparer.Ordinal)) CheckKind(faults, path);
        return faults;
    }

    static bool IsPayload(string path) => path.StartsWith(BagText.Payload, StringComparison.Ordinal);

    static void Try(List<BagFault> faults, string path, Action check)
    {
        try
        {
            check();
        }
        catch (Malformed e)
        {
            faults.Add(new BagFault(e.Code, e.Sentence, path));
        }
    }

    void CheckDeclaration(List<BagFault> faults)
    {
        if (!ReadAll(BagText.Declaration, 1 << 16).AsSpan().SequenceEqual(BagText.DeclarationBytes))
            faults.Add(new BagFault("bag.declaration", "bagit.txt does not hold exactly the two lines of BagIt 1.0 in UTF-8.", BagText.Declaration));
    }

    void CheckManifest(List<BagFault> faults, string manifest, Func<string, bool> belongs)
    {
        var listed = BagText.ReadManifest(ReadAll(manifest, MaxTagFile));
        foreach (var path in files.Keys.Where(belongs).Where(p => !listed.ContainsKey(p)).Order(StringComparer.Ordinal))
            faults.Add(new BagFault("bag.unlisted-file", $"{manifest} does not list this file.", path));
        foreach (var (path, digest) in listed.OrderBy(l => l.Key, StringComparer.Ordinal))
            if (!belongs(path) || !Has(path))
                faults.Add(new BagFault("bag.missing-file", $"{manifest} lists a file that is not there.", path));
            else
                Try(faults, path, () => CheckDigest(faults, path, digest));
    }

    void CheckDigest(List<BagFault> faults, string path, Hash digest)
    {
        if (Digest(path) != digest) faults.Add(new BagFault("bag.digest", "The file is not the one its manifest describes.", path));
    }

    // Section 2.2.2: octets and number of the payload's files, at most once.
    void CheckOxum(List<BagFault> faults)
    {
        var stated = Info().Where(i => i.Key.Equals(BagText.Oxum, StringComparison.OrdinalIgnoreCase)).Select(i => i.Value).ToList();
        var payload = files.Where(f => IsPayload(f.Key)).ToList();
        var counted = string.Create(CultureInfo.InvariantCulture, $"{payload.Sum(f => f.Value.Size)}.{payload.Count}");
        if (stated.Count != 1 || stated[0] != counted)
            faults.Add(new BagFault("bag.oxum", $"bag-info.txt does not say once that the payload is {counted}.", BagText.Info));
    }

    static void CheckKind(List<BagFault> faults, string path)
    {
        if (path == "fetch.txt") faults.Add(new BagFault("bag.fetch", "A bag here is whole; nothing is fetched from elsewhere.", path));
        if ((path.StartsWith("manifest-", StringComparison.Ordinal) && path != BagText.Manifest)
            || (path.StartsWith("tagmanifest-", StringComparison.Ordinal) && path != BagText.TagManifest))
            faults.Add(new BagFault("bag.algorithm", "Only SHA-256 manifests are read here, and what cannot be checked is not let pass.", path));
    }
}
