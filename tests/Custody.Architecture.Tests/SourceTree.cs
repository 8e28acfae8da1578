namespace Custody.Tests;

/// <summary>Where the sources stand that a test was built from.</summary>
static class SourceTree
{
    public static string Root { get; } = Find();

    static string Find()
    {
        for (var at = new DirectoryInfo(AppContext.BaseDirectory); at is not null; at = at.Parent)
        {
            if (File.Exists(Path.Combine(at.FullName, "Custody.sln"))) return at.FullName;
        }
        throw new InvalidOperationException($"No Custody.sln above {AppContext.BaseDirectory}: run this from the source tree.");
    }
}
