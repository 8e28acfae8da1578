using System.Globalization;
using System.Text;

namespace Custody.Transparency.Tests;

/// <summary>A log written by this project, verified by Go's note and tlog packages, which share nothing with it.</summary>
public sealed class IndependentVerifierTests(GoVerifier go, ITestOutputHelper output) : IClassFixture<GoVerifier>
{
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(255)]
    [InlineData(256)]
    [InlineData(257)]
    [InlineData(70_000)]
    public void A_log_verifies_with_the_packages_of_go(int size)
    {
        using var log = new LogFolder(size);
        // In any case the definition, written down once more over all leaves, must give the same root.
        Assert.Equal(Convert.ToBase64String(ReferenceTree.Mth(log.Leaves)), log.Root.Standard);
        if (Absent()) return;
        Assert.Equal((0, $"ok {size} {log.Root.Standard}\n"), go.Verify(log.Path));
    }

    public static TheoryData<string> Changes => ["checkpoint", "tile/entries/001.p/44", "tile/0/000", "tile/1/000.p/1", "proofs/299.tlog-proof", "consistency"];

    [Theory]
    [MemberData(nameof(Changes))]
    public void A_log_with_one_character_changed_does_not(string file)
    {
        using var log = new LogFolder(300);
        log.Change(file);
        if (Absent()) return;
        var (code, said) = go.Verify(log.Path);
        Assert.NotEqual(0, code);
        Assert.DoesNotContain("ok ", said, StringComparison.Ordinal);
    }

    bool Absent()
    {
        if (GoProgram.Found) return false;
        const string say = "Go with golang.org/x/mod was not found here: this log was checked by the naive reference only.";
        output.WriteLine(say);
        Console.Error.WriteLine(say);
        return true;
    }
}

/// <summary>A log of so many invented entries as files: key, checkpoint, tiles, some proofs.</summary>
sealed class LogFolder : IDisposable
{
    const string Origin = "ledger.example";

    internal string Path { get; } = Directory.CreateTempSubdirectory("custody-log-").FullName;
    internal byte[][] Leaves { get; }
    internal Hash Root { get; }

    internal LogFolder(int size)
    {
        using var signer = NoteKeys.Signer(Origin, 1);
        var records = Enumerable.Range(0, size)
            .Select(i => new LogRecord(Hash.Of(BitConverter.GetBytes(i)), SlotTag.Compute(Origin, $"bat/{i % 7}", (i / 7) + 1))).ToArray();
        Leaves = [.. records.Select(r => r.ToArray())];
        var hashes = records.Select(r => r.Leaf()).ToArray();
        var frontier = new Frontier();
        foreach (var hash in hashes) frontier.Append(hash);
        Root = frontier.Root();

        var store = new TileStore();
        store.Grow(0, hashes);
        foreach (var (path, bytes) in store.Files) Write(path, bytes);
        foreach (var tile in Tiles.All(size).Where(t => t.IsEntries))
            Write(tile.Path, EntryBundle.Write(records.AsSpan((int)tile.Index * Tile.FullWidth, tile.Width)));

        var checkpoint = new Checkpoint(Origin, size, Root).Sign(signer).ToArray();
        Write("vkey", Encoding.UTF8.GetBytes(signer.Verifier.Text + "\n"));
        Write("checkpoint", checkpoint);
        Proofs(size, Tiles.Reader(size, store.Read), checkpoint);
    }

    void Proofs(int size, HashReader read, byte[] checkpoint)
    {
        foreach (var index in new[] { 0, size / 2, size - 1 })
            Write($"proofs/{index}.tlog-proof", new TlogProof(index, Merkle.InclusionProof(index, size, read), checkpoint).ToArray());
        var old = (size + 1) / 2;
        var lines = Merkle.ConsistencyProof(old, size, read).Prepend(Merkle.Root(old, read)).Select(h => h.Standard);
        Write("consistency", Encoding.ASCII.GetBytes(string.Join('\n', lines.Prepend(old.ToString(CultureInfo.InvariantCulture))) + "\n"));
    }

    void Write(string path, byte[] bytes)
    {
        var full = System.IO.Path.Combine(Path, path);
        Directory.CreateDirectory(System.IO.Path.GetDirectoryName(full)!);
        File.WriteAllBytes(full, bytes);
    }

    /// <summary>Changes one character in the middle of a file.</summary>
    internal void Change(string path)
    {
        var bytes = File.ReadAllBytes(System.IO.Path.Combine(Path, path));
        bytes[bytes.Length / 2] ^= 1;
        Write(path, bytes);
    }

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
