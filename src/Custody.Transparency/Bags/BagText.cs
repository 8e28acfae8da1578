using System.Globalization;
using System.Text;

namespace Custody.Transparency;

/// <summary>The text files of a bag (RFC 8493 section 2), written and read.</summary>
static class BagText
{
    internal const string Payload = "data/";
    internal const string Declaration = "bagit.txt";
    internal const string Info = "bag-info.txt";
    internal const string Manifest = "manifest-sha256.txt";
    internal const string TagManifest = "tagmanifest-sha256.txt";
    internal const string Oxum = "Payload-Oxum";

    /// <summary>Section 2.1.1: exactly these two lines.</summary>
    internal static ReadOnlySpan<byte> DeclarationBytes => "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"u8;

    /// <summary>A manifest (sections 2.1.3 and 2.2.1): digest, two spaces, path, in ordinal order of the paths.</summary>
    internal static byte[] WriteManifest(IEnumerable<(string Path, Hash Digest)> files)
    {
        var text = new StringBuilder();
        foreach (var (path, digest) in files.OrderBy(f => f.Path, StringComparer.Ordinal))
            text.Append(digest.Hex).Append("  ").Append(Encode(path)).Append('\n');
        return Encoding.UTF8.GetBytes(text.ToString());
    }

    // Section 2.1.3: only line ends and the percent sign itself are encoded.
    static string Encode(string path) => path.Replace("%", "%25", StringComparison.Ordinal)
        .Replace("\n", "%0A", StringComparison.Ordinal).Replace("\r", "%0D", StringComparison.Ordinal);

    /// <summary>Reads a manifest.</summary>
    /// <exception cref="Malformed"><c>bag.manifest</c>: not UTF-8, a line of another shape, a path listed twice.</exception>
    internal static Dictionary<string, Hash> ReadManifest(ReadOnlySpan<byte> bytes)
    {
        var listed = new Dictionary<string, Hash>(StringComparer.Ordinal);
        foreach (var line in Lines(bytes, "bag.manifest"))
        {
            var space = line.AsSpan().IndexOfAny(' ', '\t');
            var path = space < 0 ? "" : line[space..].TrimStart(' ', '\t');
            if (path.Length == 0 || !TryDigest(line.AsSpan(0, Math.Max(space, 0)), out var digest))
                throw new Malformed("bag.manifest", "A manifest line is not a SHA-256 value in hexadecimal and a path.");
            if (!listed.TryAdd(Decode(path), digest)) throw new Malformed("bag.manifest", $"The manifest lists {path} twice.");
        }
        return listed;
    }

    static bool TryDigest(ReadOnlySpan<char> hex, out Hash digest)
    {
        var bytes = new byte[Hash.Size];
        var good = hex.Length == 64 && Convert.FromHexString(hex, bytes, out _, out _) == System.Buffers.OperationStatus.Done;
        digest = good ? Hash.FromBytes(bytes) : default;
        return good;
    }

    static string Decode(string path) => path.Replace("%0A", "\n", StringComparison.OrdinalIgnoreCase)
        .Replace("%0D", "\r", StringComparison.OrdinalIgnoreCase).Replace("%25", "%", StringComparison.Ordinal);

    /// <summary>Writes bag-info.txt (section 2.2.2).</summary>
    /// <exception cref="ArgumentException">A label or value that one line cannot carry.</exception>
    internal static byte[] WriteInfo(IEnumerable<KeyValuePair<string, string>> info, long octets, int files)
    {
        var text = new StringBuilder();
        foreach (var (label, value) in info)
        {
            if (label.Length == 0 || label.AsSpan().ContainsAny(":\r\n") || char.IsWhiteSpace(label[0]) || value.AsSpan().ContainsAny("\r\n"))
                throw new ArgumentException($"The label {label} or its value does not fit one line of bag-info.txt.", nameof(info));
            text.Append(label).Append(": ").Append(value).Append('\n');
        }
        text.Append(CultureInfo.InvariantCulture, $"{Oxum}: {octets}.{files}\n");
        return Encoding.UTF8.GetBytes(text.ToString());
    }

    /// <summary>Reads bag-info.txt: labels and values in order, continued lines joined by a space.</summary>
    /// <exception cref="Malformed"><c>bag.info</c>.</exception>
    internal static List<KeyValuePair<string, string>> ReadInfo(ReadOnlySpan<byte> bytes)
    {
        var info = new List<KeyValuePair<string, string>>();
        foreach (var line in Lines(bytes, "bag.info"))
        {
            var colon = line.IndexOf(':', StringComparison.Ordinal);
            if (line[0] is ' ' or '\t' && info.Count > 0)
                info[^1] = new(info[^1].Key, $"{info[^1].Value} {line.Trim(' ', '\t')}");
            else if (line[0] is not (' ' or '\t') && colon > 0 && colon + 1 < line.Length && line[colon + 1] is ' ' or '\t')
                info.Add(new(line[..colon].TrimEnd(' ', '\t'), line[(colon + 2)..]));
            else
                throw new Malformed("bag.info", "A line of bag-info.txt is not a label, a colon, a space and a value.");
        }
        return info;
    }

    // Lines end in LF, CR or CRLF; empty ones say nothing.
    static IEnumerable<string> Lines(ReadOnlySpan<byte> bytes, string code)
    {
        if (!System.Text.Unicode.Utf8.IsValid(bytes) || bytes.StartsWith("\uFEFF"u8))
            throw new Malformed(code, "A tag file is not UTF-8 without byte order mark.");
        return Encoding.UTF8.GetString(bytes).Split('\n', '\r').Where(line => line.Length > 0);
    }
}
