using System.Buffers.Binary;
using System.Diagnostics;
using System.IO.Compression;
using System.Text.Json;
using Custody.Ledger;
using Custody.Ledger.Tests;
using Custody.Transparency;

namespace Custody.Verifier.Tests;

/// <summary>The command as people run it: a process of its own, a file, exit code and words.</summary>
public sealed class CommandTests : IDisposable
{
    readonly DirectoryInfo folder = Directory.CreateTempSubdirectory("custody-verify-");
    readonly TestLedger ledger = new();

    public void Dispose()
    {
        ledger.Dispose();
        folder.Delete(recursive: true);
    }

    string Saved(byte[] bytes, string name = "2031-0007-K.dossier.zip")
    {
        var path = Path.Combine(folder.FullName, name);
        File.WriteAllBytes(path, bytes);
        return path;
    }

    static (int Exit, string Output, string Errors) Run(params string[] args)
    {
        var start = new ProcessStartInfo(Environment.GetEnvironmentVariable("DOTNET_HOST_PATH") ?? "dotnet")
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        };
        start.ArgumentList.Add(typeof(CommandLine).Assembly.Location);
        foreach (var arg in args) start.ArgumentList.Add(arg);
        using var process = Process.Start(start)!;
        var errors = process.StandardError.ReadToEndAsync();
        var output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        return (process.ExitCode, output, errors.Result);
    }

    [Fact]
    public void A_good_dossier_exits_0_and_says_what_it_proves_withholds_and_what_to_ask()
    {
        var (exit, output, errors) = Run(Saved(TestDossier.Good(ledger)), "--key", ledger.Key.Verifier.Text);
        Assert.Equal((0, ""), (exit, errors));
        Assert.Contains("passed on the house's word", output, StringComparison.Ordinal);
        Assert.Contains("What this history proves", output, StringComparison.Ordinal);
        Assert.Contains("Kept back, or never said", output, StringComparison.Ordinal);
        Assert.Contains("party stream 2", output, StringComparison.Ordinal);
        Assert.Contains("Before you pay", output, StringComparison.Ordinal);
        Assert.DoesNotContain("Nobody vouched", output, StringComparison.Ordinal);
        Assert.Matches(@"Nothing failed, complete as of 2031-04-02T09:06:00Z, ", output);
    }

    [Fact]
    public void Without_a_key_it_says_that_nobody_vouched_for_it()
    {
        var (exit, output, _) = Run(Saved(TestDossier.Good(ledger)));
        Assert.Equal(0, exit);
        Assert.Contains("Nobody vouched for the key.", output, StringComparison.Ordinal);
        Assert.Contains(ledger.Key.Verifier.Text, output, StringComparison.Ordinal);
    }

    [Fact]
    public void An_old_dossier_never_looks_plainly_good()
    {
        var path = Saved(TestDossier.Good(ledger));
        var output = new StringWriter();
        Assert.Equal(0, CommandLine.Run([path, "--key", ledger.Key.Verifier.Text], output, TextWriter.Null, new StoppedClock(new(2033, 4, 3, 0, 0, 0, TimeSpan.Zero))));
        Assert.Contains("731 days ago", output.ToString(), StringComparison.Ordinal);
        Assert.Contains("It is old", output.ToString(), StringComparison.Ordinal);
    }

    sealed class StoppedClock(DateTimeOffset now) : TimeProvider
    {
        public override DateTimeOffset GetUtcNow() => now;
    }

    [Fact]
    public void A_failed_check_exits_1_and_is_named()
    {
        var files = TestDossier.Files(TestDossier.Good(ledger));
        files["data/summary.json"] = "{}"u8.ToArray();
        var (exit, output, _) = Run(Saved(TestDossier.Packed(files)));
        Assert.Equal(1, exit);
        Assert.Matches(@"11  FAILED +summary equals the history", output);
        Assert.Contains("SOMETHING FAILED", output, StringComparison.Ordinal);
    }

    public static TheoryData<string> NoDossiers => ["text", "empty", "empty archive", "other archive", "bag without a history", "missing", "folder"];

    [Theory]
    [MemberData(nameof(NoDossiers))]
    public void What_is_no_dossier_exits_2(string what)
    {
        var path = what switch
        {
            "text" => Saved("hello"u8.ToArray()),
            "empty" => Saved([]),
            "empty archive" => Saved(Archive()),
            "other archive" => Saved(PlainArchive("word/document1")),
            "bag without a history" => Saved(TestDossier.Packed([KeyValuePair.Create("data/letter.txt", "x"u8.ToArray())])),
            "missing" => Path.Combine(folder.FullName, "none.zip"),
            _ => folder.FullName,
        };
        var (exit, output, errors) = Run(path);
        Assert.Equal((2, ""), (exit, output));
        Assert.NotEqual("", errors);
        Assert.DoesNotContain("Unhandled", errors, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData]
    [InlineData("a", "b")]
    [InlineData("a", "--key")]
    [InlineData("a", "--key", "nonsense")]
    [InlineData("a", "--loud")]
    public void A_command_that_is_not_understood_exits_2_with_the_usage(params string[] args)
    {
        var (exit, _, errors) = Run(args);
        Assert.Equal(2, exit);
        Assert.Contains("custody-verify DOSSIER", errors, StringComparison.Ordinal);
    }

    [Fact]
    public void Json_has_every_check_with_number_name_result_and_reason()
    {
        var (exit, output, _) = Run(Saved(TestDossier.Good(ledger)), "--json", "--key", ledger.Key.Verifier.Text);
        Assert.Equal(0, exit);
        using var json = JsonDocument.Parse(output);
        var root = json.RootElement;
        Assert.Equal(
            ["dossier", "verdict", "asOf", "daysOld", "keyVouchedFor", "shown", "checks", "histories", "cautions", "beforePaying"], root.EnumerateObject().Select(p => p.Name));
        Assert.Equal("nothingFailed", root.GetProperty("verdict").GetString());
        var checks = root.GetProperty("checks").EnumerateArray().ToList();
        Assert.Equal(CheckList.All.Select(c => (c.Number, c.Name)), checks.Select(c => (c.GetProperty("number").GetInt32(), c.GetProperty("name").GetString()!)));
        Assert.All(checks, c => Assert.Matches("^(passed|onHousesWord|notChecked)$", c.GetProperty("result").GetString()));
        Assert.All(checks, c => Assert.NotEqual("", c.GetProperty("reason").GetString()));
        Assert.Equal(4, root.GetProperty("histories")[0].GetProperty("entries").GetInt32());
    }

    [Fact]
    public void Json_says_so_when_it_is_no_dossier()
    {
        var (exit, output, _) = Run(Saved("hello"u8.ToArray()), "--json");
        Assert.Equal(2, exit);
        using var json = JsonDocument.Parse(output);
        Assert.Equal("notADossier", json.RootElement.GetProperty("verdict").GetString());
    }

    [Fact]
    public void A_label_in_hand_is_compared()
    {
        var bat = TestDossier.Life(ledger);
        var path = Saved(TestDossier.Packed(TestDossier.Request(ledger.Contents(bat))));
        var label = Crockford.Encode(Hash.Parse(bat.Lines[2].Hash).ToArray().AsSpan(0, 16));
        Assert.Equal(0, Run(path, "--label", label.ToLowerInvariant().Insert(5, "-")).Exit);
        Assert.Equal(1, Run(path, "--label", Crockford.Encode(new byte[16])).Exit);
    }

    [Fact]
    public void Words_from_a_dossier_cannot_drive_the_terminal()
    {
        var bat = ledger.Bat().Do(TestDossier.Registration(TestDossier.House, TestDossier.House) with { Description = "\u001b[2Jall checks passed\u202e\u0007" });
        var (_, output, _) = Run(Saved(TestDossier.Packed(TestDossier.Request(ledger.Contents(bat), bat.Show("description")) with { Photographs = [] })));
        Assert.Contains("all checks passed", output, StringComparison.Ordinal);
        Assert.DoesNotContain("\u001b", output, StringComparison.Ordinal);
        Assert.DoesNotContain("\u202e", output, StringComparison.Ordinal);
        Assert.DoesNotContain("\u0007", output, StringComparison.Ordinal);
    }

    public static TheoryData<string> Hostile =>
        ["wrong CRC", "a name twice", "case twins", "path traversal", "absolute path", "backslash", "compressed bomb", "10 million empty files", "truncated", "overlapping", "a link"];

    [Theory]
    [MemberData(nameof(Hostile))]
    public void A_hostile_archive_is_a_failed_check_and_nothing_more(string what)
    {
        var good = TestDossier.Good(ledger);
        var bytes = what switch
        {
            "wrong CRC" => Replaced(good, "Before you pay", "Before you bay"),
            "a name twice" => Replaced(good, "data/summary.json", "data/history.html"),
            "case twins" => Replaced(good, "data/summary.json", "data/History.html"),
            "path traversal" => Replaced(good, "2031-0007-K/data/summary.json", "2031-0007-K/../../summary.jso"),
            "absolute path" => Replaced(good, "2031-0007-K/data/summary.json", "/tmp/aaaa-K/data/summary.json"),
            "backslash" => Replaced(good, "2031-0007-K/data/summary.json", "2031-0007-K\\data\\summary.json"),
            "compressed bomb" => Bomb(),
            "10 million empty files" => ManyEmptyFiles(10_000_000),
            "truncated" => good[..(good.Length / 2)],
            "overlapping" => Overlapping(good),
            _ => Linked(good),
        };
        var (exit, output, errors) = Run(Saved(bytes));
        Assert.Equal((1, ""), (exit, errors));
        Assert.Matches(@"(?m)^  1  FAILED +bag complete and valid", output);
        Assert.Equal("2031-0007-K.dossier.zip", Assert.Single(folder.EnumerateFileSystemInfos()).Name);
    }

    // Every place where the text stands, in local headers, directory and content alike; checksums stay what they were.
    static byte[] Replaced(byte[] zip, string from, string to)
    {
        var (copy, old, text) = ((byte[])zip.Clone(), System.Text.Encoding.ASCII.GetBytes(from), System.Text.Encoding.ASCII.GetBytes(to));
        Assert.Equal(old.Length, text.Length);
        var found = 0;
        for (var at = copy.AsSpan().IndexOf(old); at >= 0; at = copy.AsSpan().IndexOf(old))
        {
            text.CopyTo(copy, at);
            found++;
        }
        Assert.True(found > 0);
        return copy;
    }

    static byte[] Archive(Action<ZipArchive>? fill = null)
    {
        var bytes = new MemoryStream();
        using (var zip = new ZipArchive(bytes, ZipArchiveMode.Create, leaveOpen: true)) fill?.Invoke(zip);
        return bytes.ToArray();
    }

    static byte[] PlainArchive(string name)
    {
        var bytes = new MemoryStream();
        BagZipWriter.Write(bytes, "word", [BagFile.Of("data/document.xml", "x"u8.ToArray())], [], DateTimeOffset.UnixEpoch.AddYears(40));
        var text = System.Text.Encoding.Latin1.GetString(bytes.ToArray()).Replace("word/bagit.txt", name, StringComparison.Ordinal);
        return System.Text.Encoding.Latin1.GetBytes(text);
    }

    // 256 MiB of zeros in about 256 KiB.
    static byte[] Bomb() => Archive(zip =>
    {
        using var content = zip.CreateEntry("2031-0007-K/bagit.txt", CompressionLevel.Optimal).Open();
        var zeros = new byte[1 << 20];
        for (var i = 0; i < 256; i++) content.Write(zeros);
    });

    // The directory of so many files that all point at one local header: 46 bytes and a one-letter name each, behind a ZIP64 end.
    static byte[] ManyEmptyFiles(int count)
    {
        const int Central = 47, Local = 31;
        var bytes = new byte[Local + ((long)count * Central) + 56 + 20 + 22];
        BinaryPrimitives.WriteUInt32LittleEndian(bytes, 0x04034b50);
        BinaryPrimitives.WriteUInt16LittleEndian(bytes.AsSpan(26), 1);
        bytes[30] = (byte)'a';
        for (var i = 0; i < count; i++)
        {
            var entry = bytes.AsSpan(Local + (i * Central), Central);
            BinaryPrimitives.WriteUInt32LittleEndian(entry, 0x02014b50);
            BinaryPrimitives.WriteUInt16LittleEndian(entry[28..], 1);
            entry[46] = (byte)'a';
        }
        var end = Local + (count * Central);
        var record = bytes.AsSpan(end);
        BinaryPrimitives.WriteUInt32LittleEndian(record, 0x06064b50);
        BinaryPrimitives.WriteInt64LittleEndian(record[4..], 44);
        BinaryPrimitives.WriteInt64LittleEndian(record[24..], count);
        BinaryPrimitives.WriteInt64LittleEndian(record[32..], count);
        BinaryPrimitives.WriteInt64LittleEndian(record[40..], (long)count * Central);
        BinaryPrimitives.WriteInt64LittleEndian(record[48..], Local);
        BinaryPrimitives.WriteUInt32LittleEndian(record[56..], 0x07064b50);
        BinaryPrimitives.WriteInt64LittleEndian(record[64..], end);
        BinaryPrimitives.WriteInt32LittleEndian(record[72..], 1);
        BinaryPrimitives.WriteUInt32LittleEndian(record[76..], 0x06054b50);
        BinaryPrimitives.WriteUInt16LittleEndian(record[84..], 0xffff);
        BinaryPrimitives.WriteUInt16LittleEndian(record[86..], 0xffff);
        BinaryPrimitives.WriteUInt32LittleEndian(record[88..], 0xffffffff);
        BinaryPrimitives.WriteUInt32LittleEndian(record[92..], 0xffffffff);
        return bytes;
    }

    // The second file's directory entry points at the first file's header.
    static byte[] Overlapping(byte[] good)
    {
        var copy = (byte[])good.Clone();
        var first = copy.AsSpan().IndexOf("PK\x01\x02"u8);
        var second = first + 4 + copy.AsSpan(first + 4).IndexOf("PK\x01\x02"u8);
        BinaryPrimitives.WriteUInt32LittleEndian(copy.AsSpan(second + 42), 0);
        return copy;
    }

    // The mode of a symbolic link in the upper half of the external attributes.
    static byte[] Linked(byte[] good)
    {
        var copy = (byte[])good.Clone();
        BinaryPrimitives.WriteUInt32LittleEndian(copy.AsSpan(copy.AsSpan().IndexOf("PK\x01\x02"u8) + 38), 0xa1ffu << 16);
        return copy;
    }
}
