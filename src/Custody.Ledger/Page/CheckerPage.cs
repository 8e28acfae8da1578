using System.Text;
using System.Text.RegularExpressions;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>One source file of the page's script.</summary>
/// <param name="Name">Without extension.</param>
/// <param name="Text">An ECMAScript module that imports its siblings by <c>./name.js</c>, one line for each.</param>
public sealed record PageModule(string Name, string Text);

/// <summary>The offline checker: one file of HTML that reaches no network. The same source gives the same bytes, so that whoever knows the hash
/// recorded on the ledger's own stream knows the page. Never part of a dossier.</summary>
public static partial class CheckerPage
{
    /// <summary>Name it is given out under.</summary>
    public const string FileName = "custody-checker.html";

    const string Entrance = "screen";
    const string Tables = "published";

    /// <summary>The script's modules, each after those it imports.</summary>
    public static IReadOnlyList<PageModule> Modules { get; } = InOrder();

    /// <summary>The whole page, UTF-8.</summary>
    public static ReadOnlyMemory<byte> Bytes { get; } = Write();

    /// <summary>SHA-256 of <see cref="Bytes"/>, 43 characters base64url.</summary>
    public static string Sha256 => Hash.Of(Bytes.Span).Text;

    static byte[] Write()
    {
        var style = Source("page.css");
        var script = new StringBuilder("\n");
        foreach (var module in Modules) script.Append(Enclosed(module));
        var code = script.ToString();
        // Either would end the script before its end, or begin a comment that hides it (HTML, "restrictions for contents of script elements").
        if (code.Contains("</script", StringComparison.OrdinalIgnoreCase) || code.Contains("<!--", StringComparison.Ordinal))
            throw new InvalidOperationException("The script holds what an HTML page cannot carry inside a script.");
        return Encoding.UTF8.GetBytes(Source("page.html")
            .Replace("{script-hash}", Hash.Of(Encoding.UTF8.GetBytes(code)).Standard, StringComparison.Ordinal)
            .Replace("{style-hash}", Hash.Of(Encoding.UTF8.GetBytes(style)).Standard, StringComparison.Ordinal)
            .Replace("{style}", style, StringComparison.Ordinal)
            .Replace("{script}", code, StringComparison.Ordinal));
    }

    /// <summary>The module as a function of its own that answers what it exports: no name of one is a name of another.</summary>
    static string Enclosed(PageModule module)
    {
        var names = Exports().Matches(module.Text).Select(m => m.Groups["name"].Value);
        var body = Exports().Replace(Imports().Replace(module.Text, "const {${names}} = $$${from};"), "${what} ${name}");
        return $"const ${module.Name} = (() => {{\n{body}return {{ {string.Join(", ", names)} }};\n}})();\n";
    }

    static List<PageModule> InOrder()
    {
        List<PageModule> ordered = [];
        HashSet<string> begun = [];
        Take(Entrance);
        return ordered;

        void Take(string name)
        {
            if (!begun.Add(name)) return;
            var module = new PageModule(name, name == Tables ? TablesModule() : Source(name + ".js"));
            foreach (Match import in Imports().Matches(module.Text)) Take(import.Groups["from"].Value);
            ordered.Add(module);
        }
    }

    // In a script "<" can only stand in a text of the tables, where its escape means the same.
    static string TablesModule() =>
        $"export const published = {Encoding.UTF8.GetString(PublishedTables.Write()).Replace("<", "\\u003c", StringComparison.Ordinal)};\n";

    static string Source(string name)
    {
        using var stream = typeof(CheckerPage).Assembly.GetManifestResourceStream(name)
            ?? throw new InvalidOperationException($"The page's source {name} is not in this program.");
        using var reader = new StreamReader(stream, Encoding.UTF8);
        return reader.ReadToEnd().ReplaceLineEndings("\n");
    }

    [GeneratedRegex("""^import \{(?<names>[^}]+)\} from "\./(?<from>[a-z0-9]+)\.js";$""", RegexOptions.Multiline | RegexOptions.CultureInvariant)]
    private static partial Regex Imports();

    [GeneratedRegex("""^export (?<what>(async )?function|class|const) (?<name>\w+)""", RegexOptions.Multiline | RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Exports();
}
