using System.Globalization;
using System.IO.Compression;
using System.Text;

namespace Custody.Transparency.Tests;

public class BagWriterTests
{
    [Fact]
    public void A_written_bag_is_complete_and_valid_and_reads_back()
    {
        var bag = BagSamples.Open(BagSamples.Write(BagSamples.Files));
        Assert.Empty(bag.Validate());
        Assert.Equal("7K2M9", bag.Folder);
        foreach (var file in BagSamples.Files)
        {
            var expected = new MemoryStream();
            file.Open().CopyTo(expected);
            Assert.Equal(expected.ToArray(), bag.ReadAll(file.Path, 10_000));
        }
        Assert.Equal([("Bagging-Date", "2031-04-02"), ("External-Identifier", "7K2M9"), ("Payload-Oxum", "5014.4")], bag.Info().Select(i => (i.Key, i.Value)));
        Refused.With("bag.missing-file", () => bag.ReadAll("data/none", 1));
    }

    [Fact] // RFC 8493 sections 2.1.1, 2.1.3, 2.2.1
    public void The_bags_own_files_are_as_the_standard_lays_them_out()
    {
        var bag = BagSamples.Open(BagSamples.Write([BagFile.Of("data/hello.txt", "hello\n"u8.ToArray()), BagFile.Of("data/a%b", [])]));
        string Text(string path) => Encoding.UTF8.GetString(bag.ReadAll(path, 10_000));
        Assert.Equal("BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n", Text("bagit.txt"));
        Assert.Equal(
            "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855  data/a%25b\n"
                + "5891b5b522d5df086d0ff0b110fbd9d21bb4fc7163af34d08286a2e846f6be03  data/hello.txt\n",
            Text("manifest-sha256.txt"));
        Assert.Equal(["bag-info.txt", "bagit.txt", "manifest-sha256.txt"], Text("tagmanifest-sha256.txt").Split('\n')[..^1].Select(l => l[66..]));
    }

    [Fact]
    public void The_platforms_own_reader_finds_the_same_files()
    {
        using var zip = new ZipArchive(new MemoryStream(BagSamples.Write(BagSamples.Files)));
        Assert.Equal("7K2M9/bagit.txt", zip.Entries[0].FullName);
        var names = zip.Entries.Skip(1).Select(e => e.FullName).ToList();
        Assert.Equal(names.Order(StringComparer.Ordinal), names);
        Assert.Contains("7K2M9/data/earlier/ledger.example/b%0Asé", names);
        Assert.All(zip.Entries, e => Assert.Equal(e.Length, e.CompressedLength));
        Assert.All(zip.Entries, e => Assert.Equal(new DateTime(2031, 4, 2, 9, 15, 0), e.LastWriteTime.DateTime));
        Assert.Equal("{\"n\":1}\n", new StreamReader(zip.GetEntry("7K2M9/data/history.jsonl")!.Open()).ReadToEnd());
    }

    [Fact]
    public void A_writer_made_from_the_tables_writes_the_same_bytes()
    {
        var written = BagSamples.Write(BagSamples.Files, DateTimeOffset.MinValue); // before 1980: the first instant ZIP knows
        var bag = BagZipReader.Open(new MemoryStream(written));
        var forged = ZipForge.Write([.. bag.Entries.Select(e => new Forged(e.Name, bag.ReadAll(e, 10_000)))]);
        for (var at = 0; at < forged.Length; at++) // that writer leaves the date at zero, which is no date; 1980-01-01 is 0x0021
            if (forged[at] != written[at]) Assert.Equal((0, 0x21), (forged[at], written[at]));
        Assert.Equal(forged.Length, written.Length);
    }

    [Fact]
    public void Order_of_files_culture_and_zone_change_nothing()
    {
        var first = BagSamples.Write(BagSamples.Files);
        var before = CultureInfo.CurrentCulture;
        try
        {
            CultureInfo.CurrentCulture = CultureInfo.GetCultureInfo("tr-TR");
            Assert.Equal(first, BagSamples.Write(BagSamples.Files.Reverse(), BagSamples.Time.ToOffset(TimeSpan.FromHours(9))));
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
        Assert.NotEqual(first, BagSamples.Write(BagSamples.Files, BagSamples.Time.AddSeconds(2)));
    }

    [Theory]
    [InlineData("zip.dot-segment", "data/../x")]
    [InlineData("zip.backslash", "data\\x")]
    [InlineData("zip.twin-name", "DATA/history.jsonl")]
    [InlineData("zip.duplicate-name", "data/history.jsonl")]
    [InlineData("zip.file-and-folder", "data/history.jsonl/x")]
    public void Names_the_reader_refuses_are_not_written(string code, string path) =>
        Refused.With(code, () => BagSamples.Write([.. BagSamples.Files, BagFile.Of(path, [])]));

    [Fact]
    public void A_name_holding_half_a_surrogate_pair_is_not_written() =>
        Refused.With("zip.name", () => BagSamples.Write([BagFile.Of("data/\ud800", [])]));

    [Fact]
    public void The_bags_own_files_cannot_be_given_and_labels_fit_a_line()
    {
        Assert.Throws<ArgumentException>(() => BagSamples.Write([BagFile.Of("bagit.txt", [])]));
        Assert.Throws<ArgumentException>(() => BagZipWriter.Write(Stream.Null, "bag", [], [new("A:B", "c")], BagSamples.Time));
        Assert.Throws<ArgumentException>(() => BagZipWriter.Write(Stream.Null, "bag", [], [new("A", "b\nc")], BagSamples.Time));
    }

    [Fact]
    public void A_file_that_changes_while_it_is_packed_is_noticed()
    {
        var times = 0;
        var file = new BagFile("data/x", () => new MemoryStream([(byte)times++]));
        Assert.Throws<IOException>(() => BagSamples.Write([file]));
    }

    [Fact]
    public void More_files_than_sixteen_bits_count_get_a_zip64_end_record()
    {
        var zip = BagSamples.Write(Enumerable.Range(0, 66_000).Select(i => BagFile.Of($"data/{i}", [])));
        Assert.Equal(66_004, BagZipReader.Open(new MemoryStream(zip)).Entries.Count);
        using var platform = new ZipArchive(new MemoryStream(zip));
        Assert.Equal(66_004, platform.Entries.Count);
        Assert.DoesNotContain("PK\x06\x06", Encoding.Latin1.GetString(BagSamples.Write(BagSamples.Files)), StringComparison.Ordinal);
    }

    [Fact]
    public void A_file_beyond_thirty_two_bits_is_written_and_read_with_zip64_fields()
    {
        const long size = (4L << 30) + 3;
        using var zip = new SparseStream();
        var writer = new StoredZipWriter(zip, BagSamples.Time);
        writer.Add("bag/data/big", size, crc: 0, put => Zeros(size, put)); // its checksum is not looked at before it is read
        writer.Add("bag/data/small", 5, ZipForge.Crc("after"u8.ToArray()), put => put("after"u8));
        writer.Finish();
        var reader = BagZipReader.Open(zip);
        Assert.Equal(size, reader.Find("bag/data/big")!.Size);
        Assert.Equal("after"u8, reader.ReadAll(reader.Find("bag/data/small")!, 10));
        Assert.True(zip.Length > size);
        using var platform = new ZipArchive(zip, ZipArchiveMode.Read, leaveOpen: true);
        Assert.Equal(size, platform.GetEntry("bag/data/big")!.Length);
        Assert.Equal("after", new StreamReader(platform.GetEntry("bag/data/small")!.Open()).ReadToEnd());
    }

    static void Zeros(long count, PutBytes put)
    {
        var piece = new byte[1 << 22];
        for (; count > 0; count -= piece.Length) put(piece.AsSpan(0, (int)Math.Min(piece.Length, count)));
    }

    [Fact]
    public void A_file_that_is_not_as_long_as_said_is_noticed() => Assert.Throws<IOException>(() =>
        new StoredZipWriter(Stream.Null, BagSamples.Time).Add("x", 3, 0, put => put("four"u8)));
}

/// <summary>A stream that keeps only the blocks in which something is not zero.</summary>
sealed class SparseStream : MemoryStream
{
    const int Block = 1 << 16;
    readonly Dictionary<long, byte[]> blocks = [];
    long length;

    public override long Length => length;
    public override long Position { get; set; }
    public override bool CanWrite => false;

    public override long Seek(long offset, SeekOrigin loc) => Position = offset + (loc switch
    {
        SeekOrigin.Begin => 0,
        SeekOrigin.Current => Position,
        _ => length,
    });

    public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

    public override int Read(Span<byte> buffer)
    {
        var within = (int)(Position % Block);
        var count = (int)Math.Min(Math.Min(buffer.Length, length - Position), Block - within);
        if (count <= 0) return 0;
        if (blocks.TryGetValue(Position / Block, out var block)) block.AsSpan(within, count).CopyTo(buffer);
        else buffer[..count].Clear();
        Position += count;
        return count;
    }

    public override void Write(ReadOnlySpan<byte> buffer)
    {
        while (!buffer.IsEmpty)
        {
            var within = (int)(Position % Block);
            var piece = buffer[..Math.Min(buffer.Length, Block - within)];
            if (piece.ContainsAnyExcept((byte)0))
            {
                if (!blocks.TryGetValue(Position / Block, out var block)) blocks[Position / Block] = block = new byte[Block];
                piece.CopyTo(block.AsSpan(within));
            }
            Position += piece.Length;
            length = Math.Max(length, Position);
            buffer = buffer[piece.Length..];
        }
    }
}
