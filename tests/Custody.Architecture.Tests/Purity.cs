using System.Text.RegularExpressions;

namespace Custody.Architecture.Tests;

/// <summary>Time, chance and the world outside come into the pure projects as parameters, or not at all.</summary>
static partial class Purity
{
    static readonly string[] Pure = ["src/Custody.Evidence/", "src/Custody.Bats/", "src/Custody.Transparency/", "src/Custody.Ledger/"];

    public static bool IsPure(string path) => path.EndsWith(".cs", StringComparison.Ordinal) && Pure.Any(p => path.StartsWith(p, StringComparison.Ordinal));

    /// <summary>The checker's one doorway to a network, for readers who ask for the public log.</summary>
    const string Doorway = "src/Custody.Verifier/WebLog.cs";

    /// <summary>The checker may write to its console; outside its one doorway it reaches neither a network nor a database.</summary>
    public static bool IsChecker(string path) =>
        path.EndsWith(".cs", StringComparison.Ordinal) && path.StartsWith("src/Custody.Verifier/", StringComparison.Ordinal) && path != Doorway;

    public static IEnumerable<string> Broken(IEnumerable<SourceFile> files) => files.SelectMany(file =>
        IsPure(file.Path) ? Found(file, Outside(), Network()) : IsChecker(file.Path) ? Found(file, Network()) : []);

    static IEnumerable<string> Found(SourceFile file, params Regex[] forbidden)
    {
        var code = file.Code;
        return forbidden.SelectMany(rule => rule.Matches(code)).Select(use => $"{file.Path}: {use.Value}");
    }

    [GeneratedRegex("""
        \bDateTime\s*\.\s*(Now|UtcNow|Today)\b | \bDateTimeOffset\s*\.\s*(Now|UtcNow)\b | \bStopwatch\b | \bTimeProvider\b | \bTickCount(64)?\b
        | \bRandom\b | \bRandomNumberGenerator\b | \bGuid\s*\.\s*(NewGuid|CreateVersion7)\b | \bGetRandomFileName\b | \bKey\s*\.\s*Create\b
        | \bILogger\b | \bMicrosoft\.Extensions\b | \bConsole\s*\. | \b(Debug|Trace)\s*\.\s*(Write|Trace)
        """, RegexOptions.IgnorePatternWhitespace)]
    private static partial Regex Outside();

    [GeneratedRegex("""
        \bHttpClient\b | \bSystem\.Net\.(Http|Sockets|WebSockets|Mail)\b | \b(Tcp|Udp)Client\b | \bTcpListener\b | \bWebRequest\b | \bDns\s*\.
        | \bNpgsql\w*\b | \bMarten\b | \bWolverine\b | \bSystem\.Data\b | \bDbConnection\b
        """, RegexOptions.IgnorePatternWhitespace)]
    private static partial Regex Network();
}
