using System.Globalization;
using Custody.Bats;

namespace Custody.Server.Comparing;

/// <summary>Marks and pairs as a person types them, one a line; the script on the page writes the same lines.</summary>
public static class MarkLines
{
    /// <summary>"knot 120 340" a line. Null with the number of the first line that cannot be read.</summary>
    public static (IReadOnlyList<MarkedPoint>? Marks, int Line) Marks(string? typed)
    {
        List<MarkedPoint> marks = [];
        foreach (var (line, at) in Lines(typed))
        {
            var parts = line.Split([' ', ',', '\t'], StringSplitOptions.RemoveEmptyEntries);
            if (parts.Length != 3 || Feature(parts[0]) is not { } kind || Number(parts[1]) is not { } x || Number(parts[2]) is not { } y) return (null, at);
            marks.Add(new(kind, x, y));
        }
        return (marks, 0);
    }

    /// <summary>"3 5" a line: the archive's third mark is the bat's fifth.</summary>
    public static (IReadOnlyList<PointPair>? Pairs, int Line) Pairs(string? typed)
    {
        List<PointPair> pairs = [];
        foreach (var (line, at) in Lines(typed))
        {
            var parts = line.Split([' ', ',', '-', '\t'], StringSplitOptions.RemoveEmptyEntries);
            if (parts.Length != 2 || Number(parts[0]) is not { } archive || Number(parts[1]) is not { } bat) return (null, at);
            pairs.Add(new(archive, bat));
        }
        return (pairs, 0);
    }

    /// <summary>Points for the script: x,y and a space between them.</summary>
    public static string Text(IEnumerable<MarkedPoint> marks) => string.Join(' ', marks.Select(m => string.Create(CultureInfo.InvariantCulture, $"{m.X},{m.Y}")));

    static IEnumerable<(string Line, int At)> Lines(string? typed) =>
        (typed ?? "").Split('\n').Select((l, i) => (l.Trim(), i + 1)).Where(l => l.Item1.Length > 0);

    static PointFeature? Feature(string said) => Enum.GetValues<PointFeature>().Where(f => string.Equals(f.ToString(), said, StringComparison.OrdinalIgnoreCase)).Select(f => (PointFeature?)f).FirstOrDefault();

    static int? Number(string said) => int.TryParse(said, NumberStyles.None, CultureInfo.InvariantCulture, out var n) ? n : null;
}
