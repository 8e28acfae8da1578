using System.Text.RegularExpressions;

namespace Custody.Architecture.Tests;

/// <summary>
/// Inside the server: acts never touch the log, dossiers or labels, and the log never touches pages. An act's folder is one
/// that has the name of a folder of acts in Custody.Bats.
/// </summary>
static partial class InsideServer
{
    const string Server = "src/Custody.Server/";
    const string Bats = "src/Custody.Bats/";
    static readonly string[] OutOfReach = ["Log", "Dossiers", "Labels"];

    public static bool Concerns(string path) =>
        path.StartsWith(Bats, StringComparison.Ordinal) || path.StartsWith(Server, StringComparison.Ordinal)
        && (path.EndsWith(".cs", StringComparison.Ordinal) || path.EndsWith(".cshtml", StringComparison.Ordinal)) && !path.Contains("/Generated/", StringComparison.Ordinal);

    public static IEnumerable<string> Broken(IReadOnlyCollection<SourceFile> files)
    {
        var acts = files.Select(f => Folder(f.Path, Bats)).OfType<string>().Where(name => name is not "Core").ToHashSet(StringComparer.Ordinal);
        var server = files.Where(f => f.Path.StartsWith(Server, StringComparison.Ordinal)).ToList();
        var withPages = server.Where(f => f.Path.EndsWith(".cshtml", StringComparison.Ordinal)).Select(f => Folder(f.Path, Server)).OfType<string>().ToHashSet(StringComparer.Ordinal);
        return server.SelectMany(file =>
            GlobalUses(file)
                .Concat(acts.Contains(Folder(file.Path, Server) ?? "") ? Uses(file, OutOfReach, server) : [])
                // Every route names who may use it, the log's too: that much of the accounts is within its reach. Web's pages stand in a folder of their own.
                .Concat(Folder(file.Path, Server) == "Log" ? Uses(file, withPages.Except(["Accounts", "Web"]), server).Concat(PageParts(file)) : []));
    }

    // Opened to the whole project, a namespace would be within an act's reach without a word in the act's own file.
    static IEnumerable<string> GlobalUses(SourceFile file) =>
        GlobalUse().Matches(file.Code).Select(use => $"{file.Path}: {use.Value.Trim()}");

    static IEnumerable<string> PageParts(SourceFile file)
    {
        if (file.Path.EndsWith(".cshtml", StringComparison.Ordinal)) yield return $"{file.Path}: a page in the log";
        foreach (Match use in PagePart().Matches(file.Code)) yield return $"{file.Path}: {use.Value}";
    }

    static IEnumerable<string> Uses(SourceFile file, IEnumerable<string> folders, List<SourceFile> server) => folders.SelectMany(folder =>
    {
        // Fully named, or from the parent namespace on: Log.Sequencer.
        var types = server.Where(f => Folder(f.Path, Server) == folder).SelectMany(f => Declared().Matches(f.Code)).Select(m => m.Groups[1].Value).Distinct().ToList();
        var relative = types.Count == 0 ? "" : $@"|(?<![\w.]){folder}\s*\.\s*({string.Join('|', types)})\b";
        return Regex.Matches(file.Code, $@"\bCustody\s*\.\s*Server\s*\.\s*{folder}\b{relative}").Select(use => $"{file.Path}: {use.Value}");
    });

    static string? Folder(string path, string under)
    {
        if (!path.StartsWith(under, StringComparison.Ordinal)) return null;
        var rest = path[under.Length..];
        return rest.Contains('/', StringComparison.Ordinal) ? rest[..rest.IndexOf('/', StringComparison.Ordinal)] : null;
    }

    [GeneratedRegex(@"\bglobal\s+using\s+(static\s+)?Custody\.Server\.(Log|Dossiers|Labels)\b")]
    private static partial Regex GlobalUse();

    [GeneratedRegex(@"\b(PageModel|RazorPages|IHtmlContent|HtmlString)\b")]
    private static partial Regex PagePart();

    [GeneratedRegex(@"\b(?:class|record(?:\s+struct)?|struct|interface|enum)\s+([A-Z]\w*)")]
    private static partial Regex Declared();
}
