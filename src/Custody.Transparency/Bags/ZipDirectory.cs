using System.Buffers.Binary;
using System.Text;

namespace Custody.Transparency;

/// <summary>
/// Reads where a ZIP archive says its files are, and believes only what leaves no room for a second reading: one end record at the very end,
/// a directory right before it, files one after the other from the first byte to the directory, each described alike in both places.
/// </summary>
sealed class ZipDirectory(Stream archive, ZipLimits limits)
{
    // Bytes of one file that both headers must say alike: version, flags, method, time, checksum, sizes, name length.
    readonly record struct Central(byte[] Common, byte[] Name, ZipEntry Entry);

    internal List<ZipEntry> Read()
    {
        var end = ZipEnd.Read(archive, limits);
        var centrals = Centrals(end);
        var entries = new List<ZipEntry>(centrals.Count);
        var expected = 0L;
        foreach (var central in centrals.OrderBy(c => c.Entry.Header))
        {
            var entry = Local(central, expected, end.Start);
            entries.Add(entry);
            expected = entry.Content + entry.Size;
        }
        if (expected < end.Start) throw new Malformed("zip.gap", "Bytes lie between the files and the directory.", expected);
        return entries;
    }

    List<Central> Centrals(ZipEnd end)
    {
        using var reader = new BufferedStream(new Window(archive, end.Start, end.Size), 1 << 16);
        var names = new ZipNames(limits);
        var centrals = new List<Central>(end.Count);
        var total = 0L;
        for (var i = 0; i < end.Count; i++)
        {
            var central = ReadCentral(reader);
            names.Add(central.Entry.Name);
            total += central.Entry.Size;
            if (total > limits.MaxBytes) throw new Malformed("zip.too-large", $"The files together have more than {limits.MaxBytes} bytes.");
            centrals.Add(central);
        }
        if (reader.ReadByte() >= 0) throw new Malformed("zip.directory", "The directory holds more than the files it counts.", end.Start);
        names.CheckFolders();
        return centrals;
    }

    Central ReadCentral(Stream reader)
    {
        var header = Exactly(reader, ZipForm.CentralSize);
        if (U32(header, 0) != ZipForm.CentralSignature) throw new Malformed("zip.directory", "The directory holds something that is no file.");
        CheckKind(header);
        var nameLength = U16(header, 28);
        if (nameLength > limits.MaxNameBytes) throw new Malformed("zip.name", $"A file name has more than {limits.MaxNameBytes} bytes.");
        if (U16(header, 32) != 0) throw new Malformed("zip.comment", "A file carries a comment.");
        if (U16(header, 34) != 0) throw new Malformed("zip.multi-disk", "A file lies on another disk.");
        var name = Exactly(reader, nameLength);
        var extra = Exactly(reader, U16(header, 30));
        var (size, compressed, offset) = ((long)U32(header, 24), (long)U32(header, 20), (long)U32(header, 42));
        Zip64Extra.Resolve(extra, ref size, ref compressed, ref offset);
        if (size != compressed || size < 0 || offset < 0) throw new Malformed("zip.sizes", "A stored file has two different sizes.");
        var text = Name(name, (U16(header, 8) & ZipForm.Utf8Names) != 0);
        return new Central(header[6..30], name, new ZipEntry(text, size, U32(header, 16)) { Header = offset });
    }

    static void CheckKind(byte[] header)
    {
        var flags = U16(header, 8);
        if ((flags & 0x2041) != 0) throw new Malformed("zip.encrypted", "A file or the directory is encrypted."); // 4.4.4 bits 0, 6, 13
        if ((flags & 0x0008) != 0) throw new Malformed("zip.data-descriptor", "A file's sizes follow it instead of standing before it.");
        if ((flags & ~ZipForm.Utf8Names) != 0) throw new Malformed("zip.flags", "A file has flags that mean nothing for a stored file.");
        if (U16(header, 10) != ZipForm.Stored) throw new Malformed("zip.compressed", "A file is compressed; bags here are stored.");
        if (U16(header, 6) > ZipForm.Zip64) throw new Malformed("zip.version", "A file needs a later version of the format.");
        var attributes = U32(header, 38);
        var kind = attributes >> 28; // upper half: UNIX mode; its upper four bits: the kind of file
        if (kind == 0xA || (attributes & 0x400) != 0) throw new Malformed("zip.link", "The archive holds a link.");
        if (kind == 0x4 || (attributes & 0x10) != 0) throw new Malformed("zip.folder", "The archive holds an entry for a folder.");
        if (kind is not (0 or 0x8)) throw new Malformed("zip.special", "The archive holds something that is no regular file.");
    }

    static string Name(byte[] bytes, bool utf8)
    {
        if (!System.Text.Unicode.Utf8.IsValid(bytes) || (!utf8 && !Ascii.IsValid(bytes)))
            throw new Malformed("zip.name-encoding", "A file name is not said to be UTF-8, or is not.");
        return Encoding.UTF8.GetString(bytes);
    }

    ZipEntry Local(Central central, long expected, long directory)
    {
        var at = central.Entry.Header;
        if (at < expected) throw new Malformed("zip.overlap", $"The file {central.Entry.Name} begins inside another.", at);
        if (at > expected)
            throw expected == 0
                ? new Malformed("zip.leading-bytes", "Bytes lie before the first file.")
                : new Malformed("zip.gap", "Bytes lie between two files.", expected);
        if (directory - at < ZipForm.LocalSize + central.Name.Length) throw Beyond(central);
        archive.Position = at;
        var header = Exactly(archive, ZipForm.LocalSize);
        if (U32(header, 0) != ZipForm.LocalSignature) throw new Malformed("zip.local-header", "No file begins where the directory says.", at);
        if (!Exactly(archive, Math.Min(U16(header, 26), limits.MaxNameBytes)).AsSpan().SequenceEqual(central.Name))
            throw new Malformed("zip.local-name", $"The file {central.Entry.Name} is called otherwise where it lies.", at);
        if (!header.AsSpan(4, 24).SequenceEqual(central.Common))
            throw new Malformed("zip.local-differs", $"The file {central.Entry.Name} is described otherwise where it lies.", at);
        var extra = U16(header, 28);
        var content = at + ZipForm.LocalSize + central.Name.Length + extra;
        if (content > directory || central.Entry.Size > directory - content) throw Beyond(central);
        CheckLocalExtra(central, Exactly(archive, extra), at);
        return central.Entry with { Content = content };
    }

    static Malformed Beyond(Central central) =>
        new("zip.overlap", $"The file {central.Entry.Name} reaches into the directory.", central.Entry.Header);

    static void CheckLocalExtra(Central central, byte[] extra, long at)
    {
        // Both headers' 32-bit fields are equal by now; where they say "see ZIP64", the local field must say the same again.
        var (size, compressed, none) = ((long)U32(central.Common, 18), (long)U32(central.Common, 14), 0L);
        Zip64Extra.Resolve(extra, ref size, ref compressed, ref none);
        if (size != central.Entry.Size || compressed != size)
            throw new Malformed("zip.local-differs", $"The file {central.Entry.Name} has another size where it lies.", at);
    }

    internal static byte[] Exactly(Stream stream, int count)
    {
        var bytes = new byte[count];
        return stream.ReadAtLeast(bytes, count, throwOnEndOfStream: false) == count
            ? bytes
            : throw new Malformed("zip.truncated", "The archive ends too early.");
    }

    static ushort U16(byte[] bytes, int at) => BinaryPrimitives.ReadUInt16LittleEndian(bytes.AsSpan(at));

    static uint U32(byte[] bytes, int at) => BinaryPrimitives.ReadUInt32LittleEndian(bytes.AsSpan(at));
}
