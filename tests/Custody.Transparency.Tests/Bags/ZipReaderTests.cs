using System.Text;

namespace Custody.Transparency.Tests;

public class ZipReaderTests
{
    static readonly Forged A = new("bag/a.txt", "first"u8.ToArray());
    static readonly Forged B = new("bag/b.txt", "second"u8.ToArray());

    static BagZipReader Open(byte[] zip, ZipLimits? limits = null) => BagZipReader.Open(new MemoryStream(zip), limits);

    static void Refuses(string code, params Forged[] files) => Refused.With(code, () => Open(ZipForge.Write(files)));

    static void RefusesName(string code, string name) => Refuses(code, A, B with { Name = name });

    [Fact]
    public void An_honest_archive_opens()
    {
        var reader = Open(ZipForge.Write(A, B));
        Assert.Equal(["bag/a.txt", "bag/b.txt"], reader.Entries.Select(e => e.Name));
        Assert.Equal("first"u8, reader.ReadAll(reader.Find("bag/a.txt")!, 100));
        Assert.Null(reader.Find("bag/A.txt"));
        Refused.With("zip.file-too-large", () => reader.ReadAll(reader.Find("bag/b.txt")!, 5));
    }

    [Fact]
    public void Two_files_may_be_read_in_turns()
    {
        var reader = Open(ZipForge.Write(A, B));
        using var a = reader.Content(reader.Entries[0]);
        using var b = reader.Content(reader.Entries[1]);
        Assert.Equal(('f', 's', 'i', 'e'), ((char)a.ReadByte(), (char)b.ReadByte(), (char)a.ReadByte(), (char)b.ReadByte()));
        Assert.Equal("rst", new StreamReader(a).ReadToEnd());
    }

    [Fact]
    public void One_name_twice_is_refused() => Refuses("zip.duplicate-name", A, B with { Name = A.Name });

    [Theory]
    [InlineData("bag/A.TXT")]
    [InlineData("BAG/a.txt")]
    public void Names_differing_in_case_are_refused(string twin) => RefusesName("zip.twin-name", twin);

    [Fact]
    public void Names_differing_in_composition_or_rare_case_are_refused()
    {
        Refuses("zip.twin-name", A with { Name = "bag/caf\u00e9" }, B with { Name = "bag/cafe\u0301" });
        Refuses("zip.twin-name", A with { Name = "bag/k" }, B with { Name = "bag/\u212a" }); // the Kelvin sign
        Refuses("zip.twin-name", A with { Name = "bag/\u00df" }, B with { Name = "bag/\u1e9e" }); // sharp s, small and capital
    }

    [Theory]
    [InlineData("zip.dot-segment", "bag/../b.txt")]
    [InlineData("zip.dot-segment", "..")]
    [InlineData("zip.dot-segment", "bag/./b.txt")]
    [InlineData("zip.absolute", "/bag/b.txt")]
    [InlineData("zip.absolute", "C:/bag/b.txt")]
    [InlineData("zip.backslash", "bag\\b.txt")]
    [InlineData("zip.backslash", "bag\\..\\..\\b.txt")]
    [InlineData("zip.folder", "bag/b/")]
    [InlineData("zip.name", "")]
    [InlineData("zip.name", "bag//b.txt")]
    [InlineData("zip.name", "bag/b.txt.")]
    [InlineData("zip.name", "bag/b ")]
    [InlineData("zip.name", "bag/b:c")]
    [InlineData("zip.name", "bag/b\n.txt")]
    [InlineData("zip.name", "bag/b\0.txt")]
    [InlineData("zip.name", "bag/\ufffe")]
    [InlineData("zip.too-deep", "a/b/c/d/e/f/g/h/i/j/k/l/m/n/o/p/q")]
    public void Names_that_leave_the_folder_or_mean_two_things_are_refused(string code, string name) => RefusesName(code, name);

    [Fact]
    public void A_name_that_is_file_and_folder_is_refused()
    {
        Refuses("zip.file-and-folder", A with { Name = "bag/x" }, B with { Name = "bag/x/y" });
        Refuses("zip.file-and-folder", A with { Name = "bag/x/y/z" }, B with { Name = "bag/X" });
    }

    [Fact]
    public void Names_that_are_no_utf_8_or_do_not_say_so_are_refused()
    {
        Refuses("zip.name-encoding", A with { RawName = [0x62, 0xff] });
        Refuses("zip.name-encoding", A with { Name = "bag/é", Flags = 0 });
        Assert.NotNull(Open(ZipForge.Write(A with { Flags = 0 })));
        Refuses("zip.name", A with { Name = new string('n', 513) });
    }

    [Fact]
    public void A_name_called_otherwise_where_it_lies_is_refused()
    {
        Refuses("zip.local-name", A with { LocalName = "bag/x.txt" });
        Refuses("zip.local-name", A with { LocalName = "bag/a.tx" });
    }

    [Fact]
    public void A_description_that_differs_where_the_file_lies_is_refused()
    {
        Refuses("zip.local-differs", A with { LocalCrc = 1 });
        Refuses("zip.local-differs", A with { LocalSize = 4 });
    }

    [Fact]
    public void A_wrong_checksum_is_noticed_when_the_file_is_read()
    {
        var reader = Open(ZipForge.Write(A with { Crc = 1 }, new Forged("bag/empty", []) { Crc = 7 }));
        Refused.With("zip.crc", () => reader.ReadAll(reader.Entries[0], 100));
        Refused.With("zip.crc", () => reader.Content(reader.Entries[0]).CopyTo(Stream.Null));
        Refused.With("zip.crc", () => reader.ReadAll(reader.Entries[1], 100));
        Refused.With("zip.crc", () => reader.Content(reader.Entries[1]).CopyTo(Stream.Null));
    }

    [Fact]
    public void Files_lying_in_one_another_are_refused()
    {
        Refuses("zip.overlap", A, B with { OffsetShift = -3 });
        Refuses("zip.overlap", A, B with { OffsetShift = -(30 + 9 + 5) }); // two names for the first file's place
        Refuses("zip.overlap", A, B with { Size = 1000, CompressedSize = 1000 }); // reaches into the directory
        Refuses("zip.overlap", A with { Size = 9, CompressedSize = 9 }, B);
    }

    [Fact]
    public void Bytes_nobody_owns_are_refused()
    {
        Refuses("zip.leading-bytes", A with { Before = [1, 2, 3] }, B);
        Refuses("zip.gap", A, B with { Before = [1] });
        Refuses("zip.gap", A with { Size = 4, CompressedSize = 4 }, B);
        Refused.With("zip.gap", () => Open(ZipForge.Write([A, B], [0], [])));
        Refused.With("zip.directory-place", () => Open(ZipForge.Write([A, B], [], [0])));
        Refused.With("zip.directory-place", () => Open([0, .. ZipForge.Write(A, B)])); // as a program in front would lie
        Refused.With("zip.trailing-bytes", () => Open([.. ZipForge.Write(A, B), 0]));
        Refused.With("zip.trailing-bytes", () => Open(ZipForge.Write([A], [], [], end => end[20] = 1)));
    }

    [Fact]
    public void An_archive_cut_anywhere_is_refused()
    {
        var zip = ZipForge.Write(A, B);
        for (var length = 0; length < zip.Length; length++)
        {
            var cut = zip[..length];
            Assert.StartsWith("zip.", Assert.Throws<Malformed>(() => Open(cut)).Code, StringComparison.Ordinal);
        }
        Refused.With("zip.no-end", () => Open(zip[..^22]));
        Refused.With("zip.no-end", () => Open([]));
    }

    [Fact]
    public void Kinds_of_files_no_bag_holds_are_refused()
    {
        Refuses("zip.encrypted", A with { Flags = 0x0801 });
        Refuses("zip.encrypted", A with { Flags = 0x2800 });
        Refuses("zip.data-descriptor", A with { Flags = 0x0808 });
        Refuses("zip.flags", A with { Flags = 0x0802 });
        Refuses("zip.compressed", A with { Method = 8 });
        Refuses("zip.compressed", A with { Method = 99 });
        Refuses("zip.version", A with { Version = 63 });
        Refuses("zip.link", A with { Attributes = 0xa1ff0000 });
        Refuses("zip.link", A with { Attributes = 0x400 });
        Refuses("zip.folder", A with { Attributes = 0x41ed0000 });
        Refuses("zip.folder", A with { Attributes = 0x10 });
        Refuses("zip.special", A with { Attributes = 0x11a40000 });
        Refuses("zip.comment", A with { Comment = "hello" });
        Refuses("zip.extra", A with { Extra = [0x55, 0x54, 1, 0, 0] });
        Refuses("zip.extra", A with { LocalExtra = [0x55, 0x54, 1, 0, 0] });
        Refuses("zip.extra", A with { Extra = [1, 0, 0, 0] });
        Refuses("zip.sizes", A with { Size = 5, CompressedSize = 4 });
        Refuses("zip.multi-disk", A with { Disk = 1 });
    }

    [Fact]
    public void A_zip64_field_that_is_not_needed_or_says_otherwise_is_refused()
    {
        byte[] Field(params long[] values) => [1, 0, (byte)(8 * values.Length), 0, .. values.SelectMany(BitConverter.GetBytes)];
        Refuses("zip.extra", A with { Size = uint.MaxValue, CompressedSize = uint.MaxValue, Extra = Field(5, 5), LocalExtra = Field(5, 5) });
        Refuses("zip.extra", A with { Size = uint.MaxValue, CompressedSize = uint.MaxValue, Extra = Field(5L << 30) });
        Refuses("zip.sizes", A with { Size = uint.MaxValue, CompressedSize = uint.MaxValue, Extra = Field(5L << 30, 6L << 30) });
        Refuses("zip.too-large", A with { Size = uint.MaxValue, CompressedSize = uint.MaxValue, Extra = Field(long.MaxValue, long.MaxValue) });
        Refuses("zip.overlap", A with { Size = uint.MaxValue, CompressedSize = uint.MaxValue, Extra = Field(5L << 30, 5L << 30) });
        Refused.With("zip.zip64", () => Open(ZipForge.Write([A], [], [], end => end[8] = end[9] = end[10] = end[11] = 0xff)));
    }

    [Fact]
    public void End_records_that_lie_are_refused()
    {
        Refused.With("zip.multi-disk", () => Open(ZipForge.Write([A], [], [], end => end[4] = 1)));
        Refused.With("zip.multi-disk", () => Open(ZipForge.Write([A], [], [], end => end[8] = 2)));
        Refused.With("zip.directory", () => Open(ZipForge.Write([A, B], [], [], end => end[8] = end[10] = 1)));
        Refused.With("zip.truncated", () => Open(ZipForge.Write([A, B], [], [], end => end[8] = end[10] = 3)));
        Refused.With("zip.directory-place", () => Open(ZipForge.Write([A, B], [], [], end => end[16]++)));
        Refused.With("zip.directory-place", () => Open(ZipForge.Write([A, B], [], [], end => end[12]++)));
        Refused.With("zip.empty", () => Open(ZipForge.Write()));
    }

    [Fact]
    public void Limits_hold()
    {
        var zip = ZipForge.Write(A, B);
        Refused.With("zip.too-many-entries", () => Open(zip, ZipLimits.Default with { MaxEntries = 1 }));
        Refused.With("zip.too-large", () => Open(zip, ZipLimits.Default with { MaxBytes = 10 }));
        Refused.With("zip.directory-too-large", () => Open(ZipForge.Write([A with { Extra = new byte[60_000] }], [], [])));
    }

    /// <summary>A stream of the given length in which only the tail exists; anything read before it is counted.</summary>
    sealed class Tail(long length, byte[] tail) : MemoryStream
    {
        internal long ReadOutsideTail { get; private set; }

        public override long Length => length;
        public override long Position { get; set; }

        public override int Read(Span<byte> buffer)
        {
            var from = length - tail.Length;
            if (Position < from)
            {
                var zeros = (int)Math.Min(buffer.Length, from - Position);
                buffer[..zeros].Clear();
                ReadOutsideTail += zeros;
                Position += zeros;
                return zeros;
            }
            var count = (int)Math.Min(buffer.Length, length - Position);
            tail.AsSpan((int)(Position - from), count).CopyTo(buffer);
            Position += count;
            return count;
        }
    }

    [Fact]
    public void Ten_million_empty_files_are_refused_from_the_end_record_alone()
    {
        const long count = 10_000_000;
        const long directory = count * 54;
        const long start = count * 38;
        var tail = new MemoryStream();
        var writer = new BinaryWriter(tail, Encoding.ASCII);
        writer.Write(0x06064b50u);
        writer.Write(44L);
        writer.Write((ushort)45);
        writer.Write((ushort)45);
        writer.Write(0L);
        foreach (var value in new[] { count, count, directory, start }) writer.Write(value);
        writer.Write(0x07064b50u);
        writer.Write(0u);
        writer.Write(start + directory);
        writer.Write(1u);
        writer.Write(0x06054b50u);
        writer.Write(0u);
        writer.Write(0xffffffffu);
        writer.Write((uint)directory);
        writer.Write((uint)start);
        writer.Write((ushort)0);
        var zip = new Tail(start + directory + tail.Length, tail.ToArray());
        Refused.With("zip.too-many-entries", () => BagZipReader.Open(zip));
        Assert.Equal(0, zip.ReadOutsideTail);
    }
}
