using System.Collections.Concurrent;
using System.Globalization;
using System.Text;
using Custody.Transparency;
using Custody.Transparency.Tests;

namespace Custody.Ledger.Tests.Tampering;

/// <summary>
/// Every kind of file times every kind of change, twice: the bag's manifests as they were, and made again around the changed file as a forger
/// would. The table of cases with the checks that failed is approved; no case may pass.
/// </summary>
public sealed class MatrixTests : IDisposable
{
    readonly Target target = new();
    readonly Report good;

    public MatrixTests() => good = target.Check(Repacked(target.Good)!);

    public void Dispose() => target.Dispose();

    [Fact]
    public void The_dossier_that_is_attacked_fails_nothing_as_it_is()
    {
        Assert.DoesNotContain(good.Checks, c => c.Result == CheckResult.Failed);
        Assert.False(target.Check(Rezipped(target.Good)).HasFailed);
    }

    [Fact]
    public void Every_kind_of_change_to_every_kind_of_file_is_caught_and_by_the_checks_of_the_table()
    {
        ConcurrentDictionary<(string Kind, string Change), ConcurrentBag<string>> table = new();
        var cases = 0;
        Parallel.ForEach(target.Good.Keys.SelectMany(path => Changes.All.Select(change => (Path: path, Change: change))), attack =>
        {
            var row = (FileKinds.Of(attack.Path), attack.Change.Name);
            foreach (var changed in attack.Change.Make(target, attack.Path).Where(f => !SaysTheSame(f, attack.Path)))
            {
                Interlocked.Increment(ref cases);
                // With the old manifests the first check speaks for every file; others may have more to say.
                Assert.True(Failed(Rezipped(changed)) is ["1", ..], $"{row} is not caught by the manifests.");
                if (Repacked(changed, attack.Path) is not { } again) continue;
                Interlocked.Increment(ref cases);
                table.GetOrAdd(row, _ => []).Add(Verdict(again, row));
            }
        });
        Assert.True(cases >= 2_000, $"{cases} cases");
        Approved.Equal(Told(table), "Tampering");
    }

    List<string> Failed(byte[] zip, bool withStamps = false) =>
        [.. target.Check(zip, withStamps).Checks.Where(c => c.Result == CheckResult.Failed).Select(c => c.Number.ToString(CultureInfo.InvariantCulture))];

    static int Worth(CheckResult result) => result switch { CheckResult.Passed => 2, CheckResult.OnHousesWord => 1, _ => 0 };

    /// <summary>The numbers of the checks that failed. Only to leave out photographs and papers is the holder's right.</summary>
    string Verdict(byte[] zip, (string Kind, string Change) row)
    {
        // Time stamps take most of the time that a check takes, and rest on nothing but the timeline and the key.
        var failed = Failed(zip, withStamps: row.Kind.StartsWith("timeline/", StringComparison.Ordinal) || row.Kind is "context.jsonl" or "checkpoint");
        if (failed.Count > 0) return string.Join('+', failed);
        // What others saw may be left out, or made unreadable: then less is said, and nothing better.
        if (row.Kind is "timeline/*.checkpoint" or "timeline/*.tsr" && target.Check(zip).Checks.Zip(good.Checks).All(c => Worth(c.First.Result) <= Worth(c.Second.Result))) return "none: less is said";
        Assert.True(row is ("photographs/*.jpg" or "documents/*.pdf", "taken away"), $"{row} is accepted.");
        return "none: a holder may";
    }

    static string Told(IDictionary<(string Kind, string Change), ConcurrentBag<string>> table)
    {
        StringBuilder told = new("file | change | checks that fail, in all cases of it\n");
        foreach (var row in table.OrderBy(r => r.Key.Kind, StringComparer.Ordinal).ThenBy(r => r.Key.Change, StringComparer.Ordinal))
            told.Append(CultureInfo.InvariantCulture, $"{row.Key.Kind} | {row.Key.Change} | {string.Join("; ", row.Value.Distinct().Order(StringComparer.Ordinal))}\n");
        return told.ToString();
    }

    /// <summary>Whether nothing changed, or nothing that means anything: a list of digests in another order, a signature given twice.</summary>
    bool SaysTheSame(SortedDictionary<string, byte[]> files, string path)
    {
        if (!files.TryGetValue(path, out var bytes)) return false;
        if (files.Count != target.Good.Count || files.Any(f => f.Key != path && !f.Value.AsSpan().SequenceEqual(target.Good[f.Key]))) return false;
        return path == "tagmanifest-sha256.txt" ? LinesOf(bytes).SetEquals(LinesOf(target.Good[path]))
            : path.EndsWith("head", StringComparison.Ordinal) || path.EndsWith(".checkpoint", StringComparison.Ordinal) ? Once(bytes) == Once(target.Good[path])
            : bytes.AsSpan().SequenceEqual(target.Good[path]);
    }

    static HashSet<string> LinesOf(byte[] file) => [.. file.Text().Split('\n', StringSplitOptions.RemoveEmptyEntries)];

    // The text, and each signature once, in whatever order they stand.
    static string Once(byte[] note) => note.Text().Split("\n\n") is [var text, var signatures] && signatures.Split('\n') is [.. var lines, ""] && lines.All(l => l.StartsWith('\u2014'))
        ? $"{text}\n\n{string.Join('\n', lines.Distinct().Order(StringComparer.Ordinal))}\n"
        : note.Text();

    /// <summary>With the manifests that are among the files, whatever they say: archived by a writer of the tests' own.</summary>
    static byte[] Rezipped(SortedDictionary<string, byte[]> files) => ZipForge.Write(
        [.. files.OrderBy(f => f.Key == "bagit.txt" ? "" : f.Key, StringComparer.Ordinal).Select(f => new Forged("2031-0007-K/" + f.Key, f.Value))]);

    /// <summary>With manifests made again; null when the change was to what the bag makes itself.</summary>
    static byte[]? Repacked(SortedDictionary<string, byte[]> files, string? attacked = null)
    {
        string[] made = ["bagit.txt", "bag-info.txt", "manifest-sha256.txt", "tagmanifest-sha256.txt"];
        if (made.Contains(attacked)) return null;
        try
        {
            return TestDossier.Packed(files.Where(f => !made.Contains(f.Key)));
        }
        catch (Malformed)
        {
            return null; // a name that our own writer puts into no archive
        }
    }
}
