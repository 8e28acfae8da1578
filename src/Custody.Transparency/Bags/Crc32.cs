using System.Buffers.Binary;

namespace Custody.Transparency;

/// <summary>CRC-32 as ZIP uses it (APPNOTE 4.4.7: polynomial 0xEDB88320 reflected), eight bytes at a time.</summary>
static class Crc32
{
    static readonly uint[] Table = Tables();

    // Table[k * 256 + b] is the effect of byte b followed by k zero bytes.
    static uint[] Tables()
    {
        var table = new uint[8 * 256];
        for (var b = 0u; b < 256; b++)
        {
            var crc = b;
            for (var bit = 0; bit < 8; bit++) crc = (crc & 1) == 1 ? (crc >> 1) ^ 0xEDB88320 : crc >> 1;
            table[b] = crc;
        }
        for (var i = 256; i < table.Length; i++) table[i] = (table[i - 256] >> 8) ^ table[table[i - 256] & 0xff];
        return table;
    }

    /// <summary>The checksum of what was summed before and these bytes; begin with 0.</summary>
    internal static uint Append(uint crc, ReadOnlySpan<byte> bytes)
    {
        var table = Table;
        crc = ~crc;
        for (; bytes.Length >= 8; bytes = bytes[8..])
        {
            var low = BinaryPrimitives.ReadUInt32LittleEndian(bytes) ^ crc;
            crc = table[(7 * 256) + (low & 0xff)] ^ table[(6 * 256) + ((low >> 8) & 0xff)]
                ^ table[(5 * 256) + ((low >> 16) & 0xff)] ^ table[(4 * 256) + (low >> 24)]
                ^ table[(3 * 256) + bytes[4]] ^ table[(2 * 256) + bytes[5]] ^ table[256 + bytes[6]] ^ table[bytes[7]];
        }
        foreach (var b in bytes) crc = (crc >> 8) ^ table[(crc ^ b) & 0xff];
        return ~crc;
    }
}
