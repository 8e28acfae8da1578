using System.Text.RegularExpressions;

namespace Custody.Architecture.Tests;

/// <summary>What the top level may hold, and that the solution holds every project: one left out would never be built or tested.</summary>
static partial class Layout
{
    public static IEnumerable<string> Broken(IEnumerable<string> files, string solution)
    {
        var all = files.ToList();
        foreach (var extra in all.Select(path => path.Split('/')[0]).Distinct().Where(name => !Allowed().IsMatch(name))) yield return $"top level: {extra}";
        foreach (var project in all.Where(path => path.EndsWith(".csproj", StringComparison.Ordinal)))
        {
            if (!solution.Replace('\\', '/').Contains(project, StringComparison.Ordinal)) yield return $"not in the solution: {project}";
        }
    }

    [GeneratedRegex(@"^(README\.md|DEVELOPERS\.md|docker-compose\.yml|Custody\.sln|src|tests|demo-events|ops|Directory\.\w+\.props|\..+)$")]
    private static partial Regex Allowed();
}
