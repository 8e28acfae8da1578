using System.Text;

namespace Custody.Transparency;

/// <summary>
/// Names a bag may hold: relative, with slashes, such that no two become one file on any usual file system and none leaves the folder it is
/// unpacked into (RFC 8493 section 5.1).
/// </summary>
sealed class ZipNames(ZipLimits limits)
{
    readonly HashSet<string> exact = new(StringComparer.Ordinal);
    readonly HashSet<string> files = new(StringComparer.Ordinal);
    readonly HashSet<string> folders = new(StringComparer.Ordinal);

    /// <summary>Takes one more name, or says why not.</summary>
    /// <exception cref="Malformed">Codes beginning <c>zip.</c>, each named where it is thrown.</exception>
    internal void Add(string name)
    {
        Check(name, limits);
        if (!exact.Add(name)) throw new Malformed("zip.duplicate-name", $"The name {name} occurs twice.");
        var folded = Fold(name);
        if (!files.Add(folded)) throw new Malformed("zip.twin-name", $"The name {name} differs from another only in case or composition.");
        for (var at = folded.IndexOf('/', StringComparison.Ordinal); at >= 0; at = folded.IndexOf('/', at + 1)) folders.Add(folded[..at]);
    }

    /// <summary>Says whether some name is a file here and a folder there; to be asked once all are in.</summary>
    /// <exception cref="Malformed"><c>zip.file-and-folder</c>.</exception>
    internal void CheckFolders()
    {
        if (files.Overlaps(folders)) throw new Malformed("zip.file-and-folder", "A name is both a file and a folder.");
    }

    internal static void Check(string name, ZipLimits limits)
    {
        if (name.Length == 0) throw new Malformed("zip.name", "A file has no name.");
        if (name.Contains('\\', StringComparison.Ordinal)) throw new Malformed("zip.backslash", "A file name holds a backslash.");
        if (name[0] == '/' || (name.Length > 1 && name[1] == ':')) throw new Malformed("zip.absolute", "A file name is absolute.");
        if (name[^1] == '/') throw new Malformed("zip.folder", "The archive holds an entry for a folder.");
        var parts = name.Split('/');
        if (parts.Length > limits.MaxDepth) throw new Malformed("zip.too-deep", $"A file lies more than {limits.MaxDepth} names deep.");
        if (Array.Exists(parts, p => p is ".." or ".")) throw new Malformed("zip.dot-segment", "A file name holds the part . or ..");
        if (Array.Exists(parts, IsUnsafe))
            throw new Malformed("zip.name", "A file name holds an empty part, a control character, a colon, or a part ending in a dot or space.");
    }

    // What Windows drops or reserves; controls; what is no character at all, on which normalisation itself would fail.
    static bool IsUnsafe(string part) => part.Length == 0 || part[^1] is '.' or ' '
        || part.Any(c => char.IsControl(c) || c is ':' or '\uFFFE' or '\uFFFF')
        || part.EnumerateRunes().Any(rune => rune == Rune.ReplacementChar);

    // Lower, then upper: the two together also bring together letters of which only one direction is a pair (capital and small sharp s).
    static string Fold(string name) => name.Normalize(NormalizationForm.FormC).ToLowerInvariant().ToUpperInvariant();
}

/// <summary>What an archive may hold at most.</summary>
/// <param name="MaxEntries">Files.</param>
/// <param name="MaxBytes">Bytes of all files together.</param>
/// <param name="MaxDepth">Parts of one name.</param>
/// <param name="MaxNameBytes">Bytes of one name in UTF-8.</param>
public sealed record ZipLimits(int MaxEntries, long MaxBytes, int MaxDepth, int MaxNameBytes)
{
    /// <summary>100,000 files, 8 GiB, 16 deep, names of 512 bytes.</summary>
    public static ZipLimits Default { get; } = new(100_000, 8L << 30, 16, 512);
}
