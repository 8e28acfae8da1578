using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>Reads a dossier from its file: believes nothing, holds only the text files in memory, takes pictures as streams.</summary>
public static class DossierReader
{
    // Entries are at most 64 KiB; a history of this many megabytes is longer than any bat's. Proofs and notes are a few kilobytes.
    const int MaxTextFile = 128 << 20;
    const int MaxNote = 1 << 20;

    /// <summary>Files, bytes and depth of a dossier that is read at most.</summary>
    public static ZipLimits Limits { get; } = ZipLimits.Default with { MaxEntries = 100_000, MaxDepth = 8 };

    /// <summary>Why a file is no dossier at all, in a sentence; null when it is one, whatever its state. A damaged archive counts as a damaged
    /// dossier: its checks say what is wrong with it.</summary>
    public static string? WhyNotOne(Stream file)
    {
        Span<byte> start = stackalloc byte[4];
        file.Position = 0;
        if (file.ReadAtLeast(start, 4, throwOnEndOfStream: false) < 4 || !start.SequenceEqual("PK\x03\x04"u8)) return "This is not a ZIP archive.";
        try
        {
            var bag = Bag.In(BagZipReader.Open(file, Limits));
            return bag.Has(DossierLayout.Main + DossierLayout.History) ? null : "This is a bag without the history of a bat.";
        }
        catch (Malformed malformed)
        {
            return malformed.Code.StartsWith("bag.", StringComparison.Ordinal) ? "This is a ZIP archive without a bag in it." : null;
        }
    }

    /// <summary>Reads a dossier.</summary>
    /// <param name="file">Can seek.</param>
    /// <returns>What is in it, with why its bag is not complete and valid; no parts when it could not be opened.</returns>
    public static DossierContent Read(Stream file)
    {
        try
        {
            return Read(Bag.In(BagZipReader.Open(file, Limits)));
        }
        catch (Malformed malformed)
        {
            return new DossierContent($"{malformed.Sentence} ({malformed.Code})", [], null, null, null, null, null, [], []);
        }
    }

    static DossierContent Read(Bag bag)
    {
        var paths = bag.Paths.ToHashSet(StringComparer.Ordinal);
        var files = new Files(bag, paths);
        List<LedgerPart> parts = [.. DossierLayout.FoldersOf(paths).Select(folder => Part(files, folder))];
        return new DossierContent(
            Fault(bag, paths), parts, files.Bytes(DossierLayout.Disclosures), files.Bytes(DossierLayout.Summary), files.Bytes(DossierLayout.Page),
            files.Bytes(DossierLayout.ReadMe), CallsItself(bag), files.Attached("data/photographs/"), files.Attached("data/documents/"));
    }

    static string? CallsItself(Bag bag)
    {
        try
        {
            return bag.Info().All(i => i.Key != DossierLayout.NumberLabel || i.Value == bag.Folder) && bag.Info().Any(i => i.Key == DossierLayout.NumberLabel)
                ? bag.Folder
                : null;
        }
        catch (Malformed)
        {
            return null; // no bag-info.txt, or none that can be read; Bag.Validate names it
        }
    }

    static string? Fault(Bag bag, IReadOnlySet<string> paths)
    {
        if (bag.Validate() is [var fault, ..]) return $"{fault.Sentence} ({(fault.Path.Length > 0 ? fault.Path + ", " : "")}{fault.Code})";
        if (paths.FirstOrDefault(p => !DossierLayout.Allows(p)) is { } stranger) return $"The file {stranger} has no place in a dossier.";
        return DossierLayout.Missing(paths) is { } missing ? $"The file {missing} is missing." : null;
    }

    static LedgerPart Part(Files files, string folder) => new(
        folder, files.Bytes(folder + DossierLayout.History), files.Bytes(folder + DossierLayout.ContextFile),
        files.Paths.Select(p => (Path: p, Index: DossierLayout.ProofIndex(folder, p))).Where(p => p.Index is not null)
            .ToDictionary(p => p.Index!.Value, p => files.Bytes(p.Path, MaxNote) ?? default),
        files.Bytes(folder + DossierLayout.Checkpoint, MaxNote), files.Bytes(folder + DossierLayout.Head, MaxNote),
        files.Paths.Where(p => p.StartsWith(folder + "timeline/", StringComparison.Ordinal) && DossierLayout.Allows(p))
            .ToDictionary(p => p[(folder.Length + "timeline/".Length)..], p => files.Bytes(p, MaxNote) ?? default));

    /// <summary>The files of a bag, each read at most once as a whole.</summary>
    sealed class Files(Bag bag, IReadOnlySet<string> paths)
    {
        internal IReadOnlySet<string> Paths => paths;

        /// <summary>The bytes; null when there is no such file, or when it cannot be read: the bag's own check says so then.</summary>
        internal ReadOnlyMemory<byte>? Bytes(string path, int most = MaxTextFile)
        {
            if (!paths.Contains(path)) return null;
            try
            {
                return bag.ReadAll(path, most);
            }
            catch (Malformed)
            {
                return null; // a wrong CRC or an absurd size; Bag.Validate names it
            }
        }

        internal List<AttachedFile> Attached(string folder)
        {
            List<AttachedFile> found = [];
            foreach (var path in paths.Where(p => p.StartsWith(folder, StringComparison.Ordinal) && DossierLayout.Allows(p)).Order(StringComparer.Ordinal))
                if (Attach(path) is { } file) found.Add(file);
            return found;
        }

        AttachedFile? Attach(string path)
        {
            try
            {
                var start = new byte[3];
                using var content = bag.Open(path);
                content.ReadAtLeast(start, start.Length, throwOnEndOfStream: false);
                return new AttachedFile(path, bag.Digest(path).Text, start.AsSpan().SequenceEqual((ReadOnlySpan<byte>)[0xFF, 0xD8, 0xFF]));
            }
            catch (Malformed)
            {
                return null; // a wrong CRC; Bag.Validate names it
            }
        }
    }
}
