using System.Xml.Linq;

namespace Custody.Architecture.Tests;

/// <summary>Which project may know which, read from the project files. Whatever is not allowed here is forbidden.</summary>
static class Arrows
{
    static readonly Dictionary<string, string[]> Allowed = new(StringComparer.Ordinal)
    {
        ["Custody.Evidence"] = [],
        ["Custody.Transparency"] = [],
        ["Custody.Bats"] = ["Custody.Evidence"],
        ["Custody.Ledger"] = ["Custody.Bats", "Custody.Evidence", "Custody.Transparency"],
        ["Custody.Verifier"] = ["Custody.Ledger", "Custody.Bats", "Custody.Evidence", "Custody.Transparency"],
        ["Custody.Server"] = ["Custody.Ledger", "Custody.Bats", "Custody.Evidence", "Custody.Transparency"],
    };

    // What the pure projects may take from outside: arithmetic and signatures, nothing that reaches out of the process.
    static readonly Dictionary<string, string[]> Packages = new(StringComparer.Ordinal)
    {
        ["Custody.Evidence"] = ["MathNet.Numerics"],
        ["Custody.Transparency"] = ["NSec.Cryptography", "System.IO.Hashing", "System.Security.Cryptography.Pkcs"],
        ["Custody.Bats"] = [],
        ["Custody.Ledger"] = ["NSec.Cryptography", "System.Security.Cryptography.Pkcs"],
    };

    public static IEnumerable<string> Broken(IEnumerable<SourceFile> projects) => projects.SelectMany(Broken);

    static IEnumerable<string> Broken(SourceFile project)
    {
        var name = Path.GetFileNameWithoutExtension(project.Path);
        if (!project.Path.StartsWith("src/", StringComparison.Ordinal)) yield break;
        if (!Allowed.TryGetValue(name, out var allowed))
        {
            yield return $"{name}: a project that the layout does not know";
            yield break;
        }
        var items = XDocument.Parse(project.Text).Descendants().ToList();
        string[] Named(string element) => [.. items.Where(e => e.Name.LocalName == element).Select(e => e.Attribute("Include")?.Value ?? "")];

        foreach (var to in Named("ProjectReference").Select(path => Path.GetFileNameWithoutExtension(path.Replace('\\', '/'))).Except(allowed))
            yield return $"{name} -> {to}";
        if (!Packages.TryGetValue(name, out var packages)) yield break;
        foreach (var package in Named("PackageReference").Except(packages)) yield return $"{name} -> package {package}";
        foreach (var framework in Named("FrameworkReference")) yield return $"{name} -> framework {framework}";
        // A file linked in from another project is that project's code without the arrow.
        foreach (var linked in Named("Compile").Where(path => path.Contains("..", StringComparison.Ordinal))) yield return $"{name} -> file {linked}";
        if (project.Text.Contains("Microsoft.NET.Sdk.Web", StringComparison.Ordinal)) yield return $"{name} -> framework of the web SDK";
    }
}
