using Custody.Transparency;

namespace Custody.Ledger.Tests.Tampering;

/// <summary>One way of changing a file, applied wherever it can be.</summary>
/// <param name="Name">As it stands in the table of cases.</param>
/// <param name="Make">The files afterwards, once for every place where it can be done.</param>
sealed record Change(string Name, Func<Target, string, IEnumerable<SortedDictionary<string, byte[]>>> Make);

/// <summary>What a forger can do to a file of a dossier: generated from the file itself, so that a new kind of file is attacked the day it is written.</summary>
static class Changes
{
    const int Places = 12;

    public static IReadOnlyList<Change> All { get; } =
    [
        new("bit flipped", (t, path) => Bytes(t, path, b => Spread(b.Length).Select(at => Flipped(b, at)))),
        new("cut short", (t, path) => Bytes(t, path, b => Spread(b.Length).Select(at => b[..at]))),
        new("bytes added", (t, path) => Bytes(t, path, b => Spread(b.Length).Select(at => (byte[])[.. b[..at], (byte)'0', .. b[at..]]))),
        new("line left out", (t, path) => Lines(t, path, (lines, at) => [.. lines[..at], .. lines[(at + 1)..]])),
        new("line doubled", (t, path) => Lines(t, path, (lines, at) => [.. lines[..at], lines[at], .. lines[at..]])),
        new("lines changed places", (t, path) => Lines(t, path, (lines, at) => at == 0 ? lines : [.. lines[..(at - 1)], lines[at], lines[at - 1], .. lines[(at + 1)..]])),
        new("taken away", (t, path) => [Without(t.Good, path)]),
        new("copied under another name", (t, path) => Copies(path).Select(copy => With(t.Good, copy, t.Good[path]))),
        new("exchanged with its neighbour", (t, path) => Neighbours(t, path).Select(other => With(With(t.Good, path, t.Good[other]), other, t.Good[path]))),
        new("of another bat", (t, path) => Kindred(t.Other, path).Select(other => With(t.Good, path, t.Other[other]))),
        new("of an older state", (t, path) => Kindred(t.Older, path).Select(other => With(t.Good, path, t.Older[other]))),
        new("signed by another key", (t, path) => Signed(t, path)),
    ];

    static IEnumerable<SortedDictionary<string, byte[]>> Bytes(Target t, string path, Func<byte[], IEnumerable<byte[]>> change) =>
        change(t.Good[path]).Select(changed => With(t.Good, path, changed));

    static IEnumerable<SortedDictionary<string, byte[]>> Lines(Target t, string path, Func<string[], int, string[]> change)
    {
        var lines = t.Good[path].Text().Split('\n');
        if (path.EndsWith(".jpg", StringComparison.Ordinal) || lines.Length < 2) return [];
        return Spread(lines.Length).Select(at => With(t.Good, path, string.Join('\n', change(lines, at)).Bytes()));
    }

    /// <summary>A note's text under a signature that is good, but by a key that only has the ledger's name.</summary>
    static IEnumerable<SortedDictionary<string, byte[]>> Signed(Target t, string path)
    {
        var text = t.Good[path].Text();
        var note = text.IndexOf("\n\n\u2014 ", StringComparison.Ordinal);
        if (note < 0 || path.Contains("earlier", StringComparison.Ordinal) || path.EndsWith(".jsonl", StringComparison.Ordinal)) return [];
        // A proof holds the note after its first empty line.
        var start = text.StartsWith("c2sp.org/tlog-proof", StringComparison.Ordinal) ? text.IndexOf("\n\n", StringComparison.Ordinal) + 2 : 0;
        return [With(t.Good, path, [.. text[..start].Bytes(), .. SignedNote.Sign(text[start..(text.LastIndexOf("\n\n", StringComparison.Ordinal) + 1)], t.Forger).ToArray()])];
    }

    static byte[] Flipped(byte[] bytes, int at)
    {
        var flipped = (byte[])bytes.Clone();
        flipped[at] ^= (byte)(1 << (at % 8));
        return flipped;
    }

    /// <summary>Up to twelve places, the first and the last among them, at distances that share no factor with the length of a line.</summary>
    static IEnumerable<int> Spread(int length) =>
        length <= Places ? Enumerable.Range(0, length) : Enumerable.Range(0, Places - 1).Select(i => (int)((long)i * length / Places)).Append(length - 1);

    static IEnumerable<string> Neighbours(Target t, string path)
    {
        var kind = FileKinds.Of(path);
        return t.Good.Keys.Where(p => FileKinds.Of(p) == kind && string.CompareOrdinal(p, path) > 0).Take(1);
    }

    // The file of the same name, or else those of the same kind.
    static IEnumerable<string> Kindred(SortedDictionary<string, byte[]> files, string path) => files.ContainsKey(path) ? [path]
        : files.Keys.Where(p => FileKinds.Of(p) == FileKinds.Of(path)).Take(2);

    static IEnumerable<string> Copies(string path)
    {
        var slash = path.LastIndexOf('/') + 1;
        yield return path[..slash] + "copy-of-" + path[slash..];
        yield return path[..slash] + path[slash..].ToUpperInvariant();
        yield return path[..slash] + "9" + path[slash..];
    }

    static SortedDictionary<string, byte[]> With(SortedDictionary<string, byte[]> files, string path, byte[] bytes) =>
        new(files, StringComparer.Ordinal) { [path] = bytes };

    static SortedDictionary<string, byte[]> Without(SortedDictionary<string, byte[]> files, string path)
    {
        SortedDictionary<string, byte[]> left = new(files, StringComparer.Ordinal);
        left.Remove(path);
        return left;
    }
}

/// <summary>What kind of file a path of a dossier names, as the table of cases says it.</summary>
static class FileKinds
{
    public static string Of(string path)
    {
        var (folder, rest) = path.StartsWith("data/earlier/", StringComparison.Ordinal)
            ? ("earlier ledger: ", string.Join('/', path.Split('/')[3..])) : ("", path.StartsWith("data/", StringComparison.Ordinal) ? path[5..] : path);
        var slash = rest.LastIndexOf('/');
        return folder + (slash < 0 ? rest : $"{rest[..slash]}/*{Path.GetExtension(rest)}");
    }
}
