using System.Buffers.Binary;
using System.Text;

namespace Custody.Transparency.Tests;

/// <summary>One file of a forged archive; every field that lies can be set, the rest is right.</summary>
sealed record Forged(string Name, byte[] Content)
{
    internal byte[]? RawName { get; init; }
    internal string? LocalName { get; init; }
    internal ushort Flags { get; init; } = 0x0800;
    internal ushort Method { get; init; }
    internal ushort Version { get; init; } = 20;
    internal uint? Crc { get; init; }
    internal uint? LocalCrc { get; init; }
    internal uint? Size { get; init; }
    internal uint? CompressedSize { get; init; }
    internal uint? LocalSize { get; init; }
    internal uint Attributes { get; init; } = 0x81a40000;
    internal byte[] Extra { get; init; } = [];
    internal byte[] LocalExtra { get; init; } = [];
    internal string Comment { get; init; } = "";
    internal ushort Disk { get; init; }
    internal int OffsetShift { get; init; }
    internal byte[] Before { get; init; } = [];
}

/// <summary>
/// Writes archives from APPNOTE.TXT's tables, sharing nothing with the writer under test, so that each can be wrong in one place.
/// </summary>
static class ZipForge
{
    internal static byte[] Write(params Forged[] files) => Write(files, [], []);

    internal static byte[] Write(Forged[] files, byte[] beforeDirectory, byte[] beforeEnd, Action<byte[]>? mendEnd = null)
    {
        var zip = new MemoryStream();
        var offsets = new List<long>();
        foreach (var file in files)
        {
            zip.Write(file.Before);
            offsets.Add(zip.Position);
            var name = file.LocalName is null ? Name(file) : Encoding.UTF8.GetBytes(file.LocalName);
            Put(zip, 0x04034b50u, file.Version, file.Flags, file.Method, 0u, file.LocalCrc ?? file.Crc ?? Crc(file.Content));
            Put(zip, file.LocalSize ?? file.CompressedSize ?? Length(file), file.LocalSize ?? file.Size ?? Length(file));
            Put(zip, (ushort)name.Length, (ushort)file.LocalExtra.Length);
            zip.Write(name);
            zip.Write(file.LocalExtra);
            zip.Write(file.Content);
        }
        zip.Write(beforeDirectory);
        var start = zip.Position;
        for (var i = 0; i < files.Length; i++) Central(zip, files[i], offsets[i]);
        var size = zip.Position - start;
        zip.Write(beforeEnd);
        var end = new MemoryStream();
        Put(end, 0x06054b50u, (ushort)0, (ushort)0, (ushort)files.Length, (ushort)files.Length, (uint)size, (uint)start, (ushort)0);
        var bytes = end.ToArray();
        mendEnd?.Invoke(bytes);
        zip.Write(bytes);
        return zip.ToArray();
    }

    static void Central(Stream zip, Forged file, long offset)
    {
        Put(zip, 0x02014b50u, (ushort)0x0314, file.Version, file.Flags, file.Method, 0u, file.Crc ?? Crc(file.Content));
        Put(zip, file.CompressedSize ?? Length(file), file.Size ?? Length(file), (ushort)Name(file).Length, (ushort)file.Extra.Length);
        Put(zip, (ushort)file.Comment.Length, file.Disk, (ushort)0, file.Attributes, (uint)(offset + file.OffsetShift));
        zip.Write(Name(file));
        zip.Write(file.Extra);
        zip.Write(Encoding.ASCII.GetBytes(file.Comment));
    }

    static byte[] Name(Forged file) => file.RawName ?? Encoding.UTF8.GetBytes(file.Name);

    static uint Length(Forged file) => (uint)file.Content.Length;

    static void Put(Stream to, params object[] values)
    {
        foreach (var value in values)
        {
            var bytes = new byte[value is uint ? 4 : 2];
            if (value is uint four) BinaryPrimitives.WriteUInt32LittleEndian(bytes, four);
            else BinaryPrimitives.WriteUInt16LittleEndian(bytes, (ushort)value);
            to.Write(bytes);
        }
    }

    // Bit by bit, from the polynomial.
    internal static uint Crc(byte[] bytes)
    {
        var crc = 0xffffffffu;
        foreach (var b in bytes)
        {
            crc ^= b;
            for (var i = 0; i < 8; i++) crc = (crc & 1) == 1 ? (crc >> 1) ^ 0xEDB88320 : crc >> 1;
        }
        return ~crc;
    }
}
