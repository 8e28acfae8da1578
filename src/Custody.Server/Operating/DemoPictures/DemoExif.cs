using System.Buffers.Binary;
using ImageMagick;

namespace Custody.Server.Operating.DemoPictures;

/// <summary>Puts a camera's statements into a finished JPEG without encoding it again: an APP1 segment right after the start
/// (CIPA DC-008 4.5.4), the rest untouched.</summary>
static class DemoExif
{
    public static byte[] Into(byte[] jpeg, DemoCamera camera)
    {
        var exif = new ExifProfile();
        exif.SetValue(ExifTag.Make, camera.Make);
        exif.SetValue(ExifTag.Model, camera.Model);
        exif.SetValue(ExifTag.DateTimeOriginal, camera.Taken);
        exif.SetValue(ExifTag.OffsetTimeOriginal, camera.Offset);
        if (camera is { Latitude: { } latitude, Longitude: { } longitude })
        {
            exif.SetValue(ExifTag.GPSLatitudeRef, latitude < 0 ? "S" : "N");
            exif.SetValue(ExifTag.GPSLatitude, Degrees(latitude));
            exif.SetValue(ExifTag.GPSLongitudeRef, longitude < 0 ? "W" : "E");
            exif.SetValue(ExifTag.GPSLongitude, Degrees(longitude));
        }
        var body = exif.ToByteArray() ?? throw new InvalidOperationException("The Exif block came out empty.");
        var segment = new byte[4];
        (segment[0], segment[1]) = (0xFF, 0xE1);
        // The length counts itself.
        BinaryPrimitives.WriteUInt16BigEndian(segment.AsSpan(2), checked((ushort)(body.Length + 2)));
        return [.. jpeg[..2], .. segment, .. body, .. jpeg[2..]];
    }

    static Rational[] Degrees(double value)
    {
        var seconds = (uint)Math.Round(Math.Abs(value) * 3600);
        return [new(seconds / 3600, 1), new(seconds / 60 % 60, 1), new(seconds % 60, 1)];
    }
}
