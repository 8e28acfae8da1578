namespace Custody.Server.Photographs;

/// <summary>What a file is, told from its own first bytes.</summary>
public enum FileKind
{
    Unknown, Jpeg, Png, WebP, Heic, Pdf, Text,
    // Known so that the refusal can name them; never accepted.
    Avif, HeicSequence, Gif, Tiff, Bmp, Svg, Zip, Xml,
}

/// <summary>Tells a file's kind from its first bytes, and what its name and declared type claim it to be.</summary>
public static class Sniff
{
    /// <summary>The kind by signature: JPEG (ISO/IEC 10918-1 B.1.1.3 SOI), PNG (ISO/IEC 15948 5.2), RIFF/WebP, ISO base media `ftyp` brands
    /// (ISO/IEC 23008-12), PDF (ISO 32000 7.5.2), and the common ones refused. Text is what is valid UTF-8 without control characters.</summary>
    public static FileKind Kind(ReadOnlySpan<byte> bytes)
    {
        if (bytes.StartsWith((ReadOnlySpan<byte>)[0xFF, 0xD8, 0xFF])) return FileKind.Jpeg;
        if (bytes.StartsWith((ReadOnlySpan<byte>)[0x89, 0x50, 0x4E, 0x47, 0x0D, 0x0A, 0x1A, 0x0A])) return FileKind.Png;
        if (bytes.Length >= 12 && bytes.StartsWith("RIFF"u8) && bytes[8..12].SequenceEqual("WEBP"u8)) return FileKind.WebP;
        if (bytes.Length >= 16 && bytes[4..8].SequenceEqual("ftyp"u8)) return Brand(bytes);
        if (bytes.StartsWith("%PDF-"u8)) return FileKind.Pdf;
        if (bytes.StartsWith("GIF87a"u8) || bytes.StartsWith("GIF89a"u8)) return FileKind.Gif;
        if (bytes.StartsWith("II*\0"u8) || bytes.StartsWith("MM\0*"u8)) return FileKind.Tiff;
        if (bytes.StartsWith("BM"u8) && bytes.Length > 26 && bytes[6..10].SequenceEqual("\0\0\0\0"u8)) return FileKind.Bmp;
        if (bytes.StartsWith("PK\u0003\u0004"u8) || bytes.StartsWith("PK\u0005\u0006"u8)) return FileKind.Zip;
        return PlainText.Is(bytes) ? Markup(bytes) : FileKind.Unknown;
    }

    static FileKind Brand(ReadOnlySpan<byte> bytes)
    {
        // The box states its length; brands after the major one tell apart files whose major brand is the neutral mif1.
        var length = (int)Math.Min(System.Buffers.Binary.BinaryPrimitives.ReadUInt32BigEndian(bytes), (uint)bytes.Length);
        var found = FileKind.Unknown;
        for (var at = 8; at + 4 <= length; at = at == 8 ? 16 : at + 4)
        {
            var brand = bytes.Slice(at, 4);
            if (brand.SequenceEqual("avif"u8) || brand.SequenceEqual("avis"u8)) return FileKind.Avif;
            if (brand.SequenceEqual("hevc"u8) || brand.SequenceEqual("hevx"u8)) found = FileKind.HeicSequence;
            if (found == FileKind.Unknown && (brand.SequenceEqual("heic"u8) || brand.SequenceEqual("heix"u8))) found = FileKind.Heic;
        }
        return found;
    }

    static FileKind Markup(ReadOnlySpan<byte> bytes)
    {
        var start = System.Text.Encoding.UTF8.GetString(bytes[..Math.Min(bytes.Length, 1024)]).TrimStart('\uFEFF', ' ', '\t', '\r', '\n');
        if (start.StartsWith('<') && start.Contains("<svg", StringComparison.OrdinalIgnoreCase)) return FileKind.Svg;
        return start.StartsWith("<?xml", StringComparison.OrdinalIgnoreCase) ? FileKind.Xml : FileKind.Text;
    }

    /// <summary>What the sender says the file is, from the ending of its name or from its media type; Unknown if neither claims anything.
    /// The name is compared with a fixed list and goes no further: never a path, never handed to a decoder.</summary>
    public static FileKind Claimed(string? declaredName, string? declaredType)
    {
        var dot = declaredName?.LastIndexOf('.') ?? -1;
        var ending = dot < 0 ? "" : declaredName![(dot + 1)..].ToLowerInvariant();
        var byName = ending switch
        {
            "jpg" or "jpeg" or "jpe" or "jfif" => FileKind.Jpeg,
            "png" => FileKind.Png,
            "webp" => FileKind.WebP,
            "heic" or "heif" => FileKind.Heic,
            "pdf" => FileKind.Pdf,
            "txt" or "text" => FileKind.Text,
            "gif" => FileKind.Gif,
            "tif" or "tiff" => FileKind.Tiff,
            "bmp" => FileKind.Bmp,
            "svg" => FileKind.Svg,
            "zip" => FileKind.Zip,
            "avif" => FileKind.Avif,
            _ => FileKind.Unknown,
        };
        return byName != FileKind.Unknown ? byName : ByType(declaredType);
    }

    static FileKind ByType(string? declaredType) => declaredType?.Split(';')[0].Trim().ToLowerInvariant() switch
    {
        "image/jpeg" or "image/jpg" or "image/pjpeg" => FileKind.Jpeg,
        "image/png" => FileKind.Png,
        "image/webp" => FileKind.WebP,
        "image/heic" or "image/heif" => FileKind.Heic,
        "application/pdf" => FileKind.Pdf,
        "text/plain" => FileKind.Text,
        "image/gif" => FileKind.Gif,
        "image/tiff" => FileKind.Tiff,
        "image/bmp" => FileKind.Bmp,
        "image/svg+xml" => FileKind.Svg,
        "application/zip" => FileKind.Zip,
        "image/avif" => FileKind.Avif,
        _ => FileKind.Unknown,
    };

    /// <summary>The usual ending of a file's name, without dot.</summary>
    public static string Ending(FileKind kind) => kind switch
    {
        FileKind.Jpeg => "jpg",
        FileKind.Png => "png",
        FileKind.Pdf => "pdf",
        FileKind.Text => "txt",
        _ => "bin",
    };

    /// <summary>The kind in words for a sentence.</summary>
    public static string Words(FileKind kind) => kind switch
    {
        FileKind.Jpeg => "a JPEG picture",
        FileKind.Png => "a PNG picture",
        FileKind.WebP => "a WebP picture",
        FileKind.Heic => "a HEIC picture",
        FileKind.HeicSequence => "a HEIC sequence",
        FileKind.Avif => "an AVIF picture",
        FileKind.Pdf => "a PDF",
        FileKind.Text => "plain text",
        FileKind.Gif => "a GIF",
        FileKind.Tiff => "a TIFF",
        FileKind.Bmp => "a bitmap",
        FileKind.Svg => "an SVG drawing",
        FileKind.Zip => "a zip archive",
        FileKind.Xml => "XML",
        _ => "a file of no known kind",
    };
}
