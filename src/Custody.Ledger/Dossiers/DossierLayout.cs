using System.Globalization;
using System.Text.RegularExpressions;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>The names of the files in a dossier, and no others.</summary>
static partial class DossierLayout
{
    internal const string Main = "data/";
    internal const string History = "history.jsonl";
    internal const string ContextFile = "context.jsonl";
    internal const string Checkpoint = "checkpoint";
    internal const string Head = "head";
    internal const string Disclosures = "data/disclosures.json";
    internal const string Summary = "data/summary.json";
    internal const string Page = "data/history.html";
    internal const string ReadMe = "READ-ME.txt";

    /// <summary>Label of bag-info.txt (RFC 8493 section 2.2.2) that holds the bat's number.</summary>
    internal const string NumberLabel = "External-Identifier";

    static readonly string[] Fixed = [Disclosures, Summary, Page, ReadMe];
    static readonly string[] OfTheBag = ["bagit.txt", "bag-info.txt", "manifest-sha256.txt", "tagmanifest-sha256.txt"];
    static readonly string[] OfEveryLedger = [History, ContextFile, Checkpoint, Head];

    /// <summary>Folder of another ledger's history. A ledger's name holds no plus, so a plus stands for its slashes; whatever else a file name
    /// should not hold goes as in a URI (RFC 3986 section 2.1).</summary>
    internal static string EarlierFolder(string origin) => $"data/earlier/{Uri.EscapeDataString(origin).Replace("%2F", "+", StringComparison.Ordinal)}/";

    internal static string Proof(string folder, long index) => string.Create(CultureInfo.InvariantCulture, $"{folder}proofs/{index}.tlog-proof");

    /// <summary>Path of the released copy with this SHA-256 (43 characters base64url): the hexadecimal form, as in the bag's manifest.</summary>
    internal static string PhotographPath(string sha256) => $"data/photographs/{Hash.Parse(sha256).Hex}.jpg";

    internal static string DocumentPath(string sha256, string extension) => $"data/documents/{Hash.Parse(sha256).Hex}.{extension}";

    internal static bool IsDocumentOf(string path, string sha256) =>
        path.StartsWith($"data/documents/{Hash.Parse(sha256).Hex}.", StringComparison.Ordinal);

    /// <summary>Whether a file of this name has its place in a dossier.</summary>
    internal static bool Allows(string path) => Fixed.Contains(path) || OfTheBag.Contains(path) || Parts().IsMatch(path);

    /// <summary>The first file that every dossier must have and this one lacks.</summary>
    internal static string? Missing(IReadOnlySet<string> paths) =>
        Fixed.Concat(FoldersOf(paths).SelectMany(folder => OfEveryLedger.Select(name => folder + name))).FirstOrDefault(p => !paths.Contains(p));

    /// <summary>The bat's own folder first, then those of earlier ledgers.</summary>
    internal static IReadOnlyList<string> FoldersOf(IEnumerable<string> paths) =>
    [
        Main,
        .. paths.Select(p => Earlier().Match(p)).Where(m => m.Success).Select(m => m.Value).Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal),
    ];

    internal static long? ProofIndex(string folder, string path) =>
        path.StartsWith(folder + "proofs/", StringComparison.Ordinal) && ProofName().Match(path[(folder.Length + 7)..]) is { Success: true } match
            && long.TryParse(match.Groups[1].ValueSpan, NumberStyles.None, CultureInfo.InvariantCulture, out var index) ? index : null;

    [GeneratedRegex(@"^data/(earlier/[A-Za-z0-9._%+~-]{1,255}/)?(history\.jsonl|context\.jsonl|checkpoint|head|proofs/(0|[1-9][0-9]{0,17})\.tlog-proof|timeline/(0|[1-9][0-9]{0,17})\.(checkpoint|consistency|tsr))\z"
        + @"|^data/photographs/[0-9a-f]{64}\.jpg\z|^data/documents/[0-9a-f]{64}\.[a-z0-9]{1,8}\z", RegexOptions.CultureInvariant)]
    private static partial Regex Parts();

    [GeneratedRegex(@"^data/earlier/[^/]+/", RegexOptions.CultureInvariant)]
    private static partial Regex Earlier();

    [GeneratedRegex(@"^(0|[1-9][0-9]{0,17})\.tlog-proof\z", RegexOptions.CultureInvariant)]
    private static partial Regex ProofName();
}
