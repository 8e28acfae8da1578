using System.Reflection;
using System.Text.RegularExpressions;
using System.Xml.Linq;

namespace Custody.Server.Web;

/// <summary>What the doc comments of the doorways say, read from the file that the compiler writes beside the program.</summary>
static partial class DocComments
{
    static readonly Lazy<IReadOnlyDictionary<string, string>> Summaries = new(Read);

    /// <summary>The method's summary; its name in words where the file is not there.</summary>
    public static string SummaryOf(MethodInfo method) =>
        Summaries.Value.GetValueOrDefault($"{method.DeclaringType!.FullName}.{method.Name}") ?? Capitals().Replace(method.Name, " $0").Trim();

    static Dictionary<string, string> Read()
    {
        var path = Path.Combine(AppContext.BaseDirectory, typeof(DocComments).Assembly.GetName().Name + ".xml");
        if (!File.Exists(path)) return [];
        // Doorways are never overloaded, so the name without its parameters is enough.
        return XDocument.Load(path).Descendants("member")
            .Select(m => (Name: (string?)m.Attribute("name") ?? "", Summary: m.Element("summary")))
            .Where(m => m.Name.StartsWith("M:", StringComparison.Ordinal) && m.Summary is not null)
            .GroupBy(m => m.Name[2..].Split('(')[0], m => Blanks().Replace(Text(m.Summary!), " ").Trim(), StringComparer.Ordinal)
            .ToDictionary(g => g.Key, g => g.First(), StringComparer.Ordinal);
    }

    // <see cref="T:Some.Type"/> reads as Type.
    static string Text(XElement summary) => string.Concat(summary.Nodes().Select(node => node switch
    {
        XText text => text.Value,
        XElement { Name.LocalName: "see" or "paramref" } named => ((string?)named.Attribute("cref") ?? (string?)named.Attribute("name") ?? "").Split('.', ':')[^1],
        XElement other => other.Value,
        _ => "",
    }));

    [GeneratedRegex("[A-Z]")]
    private static partial Regex Capitals();

    [GeneratedRegex(@"\s+")]
    private static partial Regex Blanks();
}
