namespace Custody.Transparency;

/// <summary>The numbers of the ZIP format (PKWARE APPNOTE.TXT 6.3, sections in brackets) that both the writer and the reader of bags use.</summary>
static class ZipForm
{
    internal const uint LocalSignature = 0x04034b50; // 4.3.7
    internal const uint CentralSignature = 0x02014b50; // 4.3.12
    internal const uint EndSignature = 0x06054b50; // 4.3.16
    internal const uint End64Signature = 0x06064b50; // 4.3.14
    internal const uint Locator64Signature = 0x07064b50; // 4.3.15

    internal const int LocalSize = 30;
    internal const int CentralSize = 46;
    internal const int EndSize = 22;
    internal const int End64Size = 56;
    internal const int Locator64Size = 20;

    internal const ushort Stored = 0; // 4.4.5
    internal const ushort Utf8Names = 1 << 11; // 4.4.4 bit 11
    internal const ushort Plain = 20; // 4.4.3: version needed
    internal const ushort Zip64 = 45;
    internal const ushort Zip64Extra = 0x0001; // 4.5.3

    /// <summary>Made under UNIX (4.4.2), a regular file with mode 0644 in the upper half of the external attributes.</summary>
    internal const ushort Unix = 3 << 8;
    internal const uint RegularFile = 0x81a4u << 16;

    /// <summary>What a 16 or 32 bit field holds when the value stands in a ZIP64 field.</summary>
    internal const ushort Full16 = 0xffff;
    internal const uint Full32 = 0xffffffff;

    /// <summary>Whether a size or offset does not fit its 32 bits.</summary>
    internal static bool Big(long value) => value >= Full32;
}
