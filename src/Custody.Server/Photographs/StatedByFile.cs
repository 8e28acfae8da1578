using System.Globalization;
using System.Text.RegularExpressions;
using MetadataExtractor;
using MetadataExtractor.Formats.Exif;

namespace Custody.Server.Photographs;

/// <summary>What a picture's own metadata says about its making. Anyone can write metadata: it is a statement by the file.</summary>
/// <param name="Device">Maker and model, printable, at most 100 characters; null if not said.</param>
/// <param name="Taken">Local time `YYYY-MM-DDThh:mm:ss`, with `Z` or an offset if the file says one (EDTF level 0); null if not said.</param>
public sealed record StatedByFile(string? Device, string? Taken)
{
    /// <summary>Reads Exif (CIPA DC-008: Make 0x010F, Model 0x0110, DateTimeOriginal 0x9003, OffsetTimeOriginal 0x9011).</summary>
    internal static (StatedByFile Stated, string? Note) Read(byte[] bytes)
    {
        try
        {
            var directories = ImageMetadataReader.ReadMetadata(new MemoryStream(bytes));
            var main = directories.OfType<ExifIfd0Directory>().FirstOrDefault();
            var sub = directories.OfType<ExifSubIfdDirectory>().FirstOrDefault();
            return (new(DeviceOf(main), TimeOf(sub)), null);
        }
        // The picture itself is already decoded and good. A metadata reader can fail in many ways on hostile bytes, none of which is a
        // reason to refuse the picture; the note says that nothing was read.
        catch (Exception failed) when (failed is not OutOfMemoryException)
        {
            return (new(null, null), "The file's own statements about device and time could not be read.");
        }
    }

    static string? DeviceOf(ExifIfd0Directory? exif)
    {
        var make = Clean(exif?.GetString(ExifDirectoryBase.TagMake));
        var model = Clean(exif?.GetString(ExifDirectoryBase.TagModel));
        if (make is null || model is null) return model ?? make;
        return model.StartsWith(make, StringComparison.OrdinalIgnoreCase) ? model : Clean($"{make} {model}");
    }

    static string? TimeOf(ExifSubIfdDirectory? exif)
    {
        var said = exif?.GetString(ExifDirectoryBase.TagDateTimeOriginal)?.Trim('\0', ' ');
        if (!DateTime.TryParseExact(said, "yyyy:MM:dd HH:mm:ss", CultureInfo.InvariantCulture, DateTimeStyles.None, out var taken)) return null;
        var offset = exif?.GetString(ExifDirectoryBase.TagTimeZoneOriginal)?.Trim('\0', ' ') ?? "";
        return taken.ToString("yyyy-MM-dd'T'HH:mm:ss", CultureInfo.InvariantCulture) + (OffsetForm.IsMatch(offset) ? offset : "");
    }

    static readonly Regex OffsetForm = new("^(Z|[+-](0[0-9]|1[0-4]):[0-5][0-9])$", RegexOptions.CultureInvariant);

    /// <summary>Text from a stranger: kept to letters, digits, marks, punctuation and single spaces, so that no control, zero-width or direction
    /// character from a file can make a later record be refused or misread.</summary>
    static string? Clean(string? text)
    {
        if (text is null) return null;
        // Half a surrogate pair cannot be normalised; runes replace it and the filter drops the replacement.
        var kept = string.Concat(text.EnumerateRunes().Where(Readable).Select(r => r.ToString())).Normalize();
        var words = string.Join(' ', kept.Split(' ', StringSplitOptions.RemoveEmptyEntries));
        var cut = words.Length <= 100 ? words : words[..(char.IsHighSurrogate(words[99]) ? 99 : 100)].TrimEnd();
        return cut.Length == 0 ? null : cut;
    }

    static bool Readable(System.Text.Rune rune) => rune.Value != 0xFFFD && System.Text.Rune.GetUnicodeCategory(rune) is not
      (UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.Surrogate or UnicodeCategory.PrivateUse or UnicodeCategory.OtherNotAssigned
      or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator);
}
