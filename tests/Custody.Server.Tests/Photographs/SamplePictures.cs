using System.Buffers.Binary;
using System.IO.Compression;
using ImageMagick;

namespace Custody.Server.Tests.Photographs;

/// <summary>Good and hostile files, built here byte by byte where the point is in the bytes.</summary>
static class SamplePictures
{
    /// <summary>48 x 32: left half light, right half dark, so that turning can be seen.</summary>
    public static MagickImage Halves()
    {
        var picture = new MagickImage(MagickColors.Wheat, 48, 32);
        using var dark = new MagickImage(MagickColors.DarkSlateGray, 24, 32);
        picture.Composite(dark, 24, 0, CompositeOperator.Over);
        return picture;
    }

    public static byte[] Of(MagickFormat format)
    {
        using var picture = Halves();
        return picture.ToByteArray(format);
    }

    public static byte[] Jpeg(int width = 640, int height = 480)
    {
        using var picture = new MagickImage("plasma:wheat-sienna", new MagickReadSettings { Width = (uint)width, Height = (uint)height });
        return picture.ToByteArray(MagickFormat.Jpeg);
    }

    /// <summary>A plain picture of any size, held sideways.</summary>
    public static byte[] Sideways(uint width, uint height)
    {
        using var picture = new MagickImage(MagickColors.Tan, width, height) { Orientation = Orientation.RightTop };
        var exif = new ExifProfile();
        exif.SetValue(ExifTag.Orientation, (ushort)6);
        picture.SetProfile(exif);
        return picture.ToByteArray(MagickFormat.Jpeg);
    }

    /// <summary>A camera's JPEG: device, time, place, a comment, a colour profile, and held sideways (Exif orientation 6: turn right to view).</summary>
    public static byte[] CameraJpeg(ushort orientation = 6, string make = "Invented Optics")
    {
        using var picture = Halves();
        var exif = new ExifProfile();
        exif.SetValue(ExifTag.Make, make);
        exif.SetValue(ExifTag.Model, "Plate One");
        exif.SetValue(ExifTag.DateTimeOriginal, "2031:04:02 09:15:00");
        exif.SetValue(ExifTag.OffsetTimeOriginal, "-05:00");
        exif.SetValue(ExifTag.GPSLatitudeRef, "N");
        exif.SetValue(ExifTag.GPSLatitude, [new Rational(41, 1), new Rational(2, 1), new Rational(3, 1)]);
        exif.SetValue(ExifTag.Orientation, orientation);
        picture.SetProfile(exif);
        picture.SetProfile(ColorProfiles.AdobeRGB1998);
        picture.SetAttribute("comment", "shot in the back room");
        picture.Orientation = (Orientation)orientation;
        return picture.ToByteArray(MagickFormat.Jpeg);
    }

    public static byte[] AnimatedWebP()
    {
        using var frames = new MagickImageCollection { Halves(), Halves() };
        frames[1].Negate();
        foreach (var frame in frames) frame.AnimationDelay = 10;
        return frames.ToByteArray(MagickFormat.WebP);
    }

    /// <summary>A PNG of a few hundred bytes that announces width x height pixels.</summary>
    public static byte[] PngAnnouncing(uint width, uint height)
    {
        var header = new byte[13];
        BinaryPrimitives.WriteUInt32BigEndian(header, width);
        BinaryPrimitives.WriteUInt32BigEndian(header.AsSpan(4), height);
        header[8] = 8;
        return [0x89, 0x50, 0x4E, 0x47, 0x0D, 0x0A, 0x1A, 0x0A, .. Chunk("IHDR", header), .. Chunk("IDAT", Deflated(4096)), .. Chunk("IEND", [])];
    }

    /// <summary>A good PNG with an animation announced before its picture.</summary>
    public static byte[] AnimatedPng()
    {
        var png = Of(MagickFormat.Png);
        return [.. png[..33], .. Chunk("acTL", [0, 0, 0, 2, 0, 0, 0, 0]), .. png[33..]];
    }

    public static byte[] Zip()
    {
        using var memory = new MemoryStream();
        using (var zip = new ZipArchive(memory, ZipArchiveMode.Create, leaveOpen: true)) zip.CreateEntry("bat.txt").Open().Dispose();
        return memory.ToArray();
    }

    static byte[] Deflated(int zeros)
    {
        using var memory = new MemoryStream();
        using (var packed = new ZLibStream(memory, CompressionLevel.SmallestSize, leaveOpen: true)) packed.Write(new byte[zeros]);
        return memory.ToArray();
    }

    static byte[] Chunk(string type, byte[] data)
    {
        byte[] typed = [.. System.Text.Encoding.ASCII.GetBytes(type), .. data];
        var chunk = new byte[typed.Length + 8];
        BinaryPrimitives.WriteUInt32BigEndian(chunk, (uint)data.Length);
        typed.CopyTo(chunk, 4);
        BinaryPrimitives.WriteUInt32BigEndian(chunk.AsSpan(4 + typed.Length), Crc32ByDivision(typed));
        return chunk;
    }

    /// <summary>CRC-32 by plain polynomial division, independent of the table in the product.</summary>
    static uint Crc32ByDivision(byte[] bytes)
    {
        var c = 0xFFFFFFFFu;
        foreach (var bit in bytes.SelectMany(b => Enumerable.Range(0, 8).Select(i => (uint)(b >> i) & 1)))
            c = ((c ^ bit) & 1) != 0 ? (c >> 1) ^ 0xEDB88320 : c >> 1;
        return ~c;
    }

    // The library here reads HEIC but cannot write it. These two were made from the camera picture above by a HEIC encoder.
    public static byte[] Heic() => Convert.FromBase64String(
      """
    AAAAHGZ0eXBoZWljAAAAAG1pZjFoZWljbWlhZgAAAeFtZXRhAAAAAAAAACFoZGxyAAAAAAAAAABwaWN0AAAAAAAAAAAAAAAAAAAAAA5waXRtAAAAAAACAAAA
    EGlkYXQAAAAAADAAIAAAAExpbG9jAQAAAERAAAMAAQAAAAAAAAIFAAEAAAAAAAAAdwACAAEAAAAAAAAAAQAAAAAAAAAIAAMAAAAAAAACfAABAAAAAAAAANcA
    AABNaWluZgAAAAAAAwAAABVpbmZlAgAAAQABAABodmMxAAAAABVpbmZlAgAAAAACAABncmlkAAAAABVpbmZlAgAAAQADAABFeGlmAAAAANVpcHJwAAAAs2lw
    Y28AAABzaHZjQwEDcAAAAAAAAAAAAB7wAPz9+PgAAA8DIAABABhAAQwB//8DcAAAAwCQAAADAAADAB66AkAhAAEAJ0IBAQNwAAADAJAAAAMAAAMAHqAggQWW
    6uSmubAgAAADACAAAAMAISIAAQAGRAHBc8CJAAAAFGlzcGUAAAAAAAAAQAAAAEAAAAAUaXNwZQAAAAAAAAAwAAAAIAAAABBwaXhpAAAAAAMICAgAAAAaaXBt
    YQAAAAAAAAACAAECgQIAAgIDhAAAAChpcmVmAAAAAAAAAA5kaW1nAAIAAQABAAAADmNkc2MAAwABAAIAAAFWbWRhdAAAAHMoAa8TgPUwsjUsEPd76BGkDesR
    R/a3DONM+fco8NJkD4PGGMvWJt+PfXrEClzv6QLc4g63H7sCKxx/uvE5II/ZLwb6q1QsHEVZh0HuaIaUrjhTqWLnaVZNlSVn2U447227piboMYAEjxqbJ/fh
    ddmjWSXwAAAAAElJKgAIAAAABAAPAQIAEAAAAEIAAAAQAQIACgAAAFIAAABphwQAAQAAAFwAAAAliAQAAQAAAJkAAAAAAAAAAAAAAEludmVudGVkIE9wdGlj
    cwBQbGF0ZSBPbmUAAgADkAIAFAAAAH4AAAARkAIABwAAAJIAAAAAAAAAAAAAADIwMzE6MDQ6MDIgMDk6MTU6MDAALTA1OjAwAAIAAQACAAIAAABOAAAAAgAF
    AAMAAAC7AAAAAAAAAAAAAAABAAAAAQAAAAIAAAABAAAAAwAAAAEAAAA=
    """);

    /// <summary>Two pictures in one HEIC file.</summary>
    public static byte[] HeicBurst() => Convert.FromBase64String(
      """
    AAAAKGZ0eXBoZWljAAAAAG1pZjFoZWljbWlhZm1pZjFoZWljbWlhZgAAAzVtZXRhAAAAAAAAACFoZGxyAAAAAAAAAABwaWN0AAAAAAAAAAAAAAAAAAAAAA5w
    aXRtAAAAAAACAAAAGGlkYXQAAAAAADAAIAAAAAAAMAAgAAAAiGlsb2MBAAAAREAABgABAAAAAAAAA2UAAQAAAAAAAAB3AAIAAQAAAAAAAAABAAAAAAAAAAgA
    AwAAAAAAAAPcAAEAAAAAAAAA1wAEAAAAAAAABLMAAQAAAAAAAAB3AAUAAQAAAAAAAAABAAAACAAAAAgABgAAAAAAAAUqAAEAAAAAAAAA1wAAAIxpaW5mAAAA
    AAAGAAAAFWluZmUCAAABAAEAAGh2YzEAAAAAFWluZmUCAAAAAAIAAGdyaWQAAAAAFWluZmUCAAABAAMAAEV4aWYAAAAAFWluZmUCAAABAAQAAGh2YzEAAAAA
    FWluZmUCAAAAAAUAAGdyaWQAAAAAFWluZmUCAAABAAYAAEV4aWYAAAABimlwcnAAAAFeaXBjbwAAAHNodmNDAQNwAAAAAAAAAAAAHvAA/P34+AAADwMgAAEA
    GEABDAH//wNwAAADAJAAAAMAAAMAHroCQCEAAQAnQgEBA3AAAAMAkAAAAwAAAwAeoCCBBZbq5Ka5sCAAAAMAIAAAAwAhIgABAAZEAcFzwIkAAAAUaXNwZQAA
    AAAAAABAAAAAQAAAABRpc3BlAAAAAAAAADAAAAAgAAAAEHBpeGkAAAAAAwgICAAAAHNodmNDAQNwAAAAAAAAAAAAHvAA/P34+AAADwMgAAEAGEABDAH//wNw
    AAADAJAAAAMAAAMAHroCQCEAAQAnQgEBA3AAAAMAkAAAAwAAAwAeoCCBBZbq5Ka5sCAAAAMAIAAAAwAhIgABAAZEAcFzwIkAAAAUaXNwZQAAAAAAAABAAAAA
    QAAAABRpc3BlAAAAAAAAADAAAAAgAAAAEHBpeGkAAAAAAwgICAAAACRpcG1hAAAAAAAAAAQAAQKBAgACAgOEAAQChQYABQIHiAAAAERpcmVmAAAAAAAAAA5k
    aW1nAAIAAQABAAAADmNkc2MAAwABAAIAAAAOZGltZwAFAAEABAAAAA5jZHNjAAYAAQAFAAACpG1kYXQAAABzKAGvE4D1MLI1LBD3e+gRpA3rEUf2twzjTPn3
    KPDSZA+DxhjL1ibfj316xApc7+kC3OIOtx+7Aiscf7rxOSCP2S8G+qtULBxFWYdB7miGlK44U6li52lWTZUlZ9lOOO9tu6Ym6DGABI8amyf34XXZo1kl8AAA
    AABJSSoACAAAAAQADwECABAAAABCAAAAEAECAAoAAABSAAAAaYcEAAEAAABcAAAAJYgEAAEAAACZAAAAAAAAAAAAAABJbnZlbnRlZCBPcHRpY3MAUGxhdGUg
    T25lAAIAA5ACABQAAAB+AAAAEZACAAcAAACSAAAAAAAAAAAAAAAyMDMxOjA0OjAyIDA5OjE1OjAwAC0wNTowMAACAAEAAgACAAAATgAAAAIABQADAAAAuwAA
    AAAAAAAAAAAAAQAAAAEAAAACAAAAAQAAAAMAAAABAAAAAAAAcygBrxOA9TCyNSwQ93voEaQN6xFH9rcM40z59yjw0mQPg8YYy9Ym3499esQKXO/pAtziDrcf
    uwIrHH+68Tkgj9kvBvqrVCwcRVmHQe5ohpSuOFOpYudpVk2VJWfZTjjvbbumJugxgASPGpsn9+F12aNZJfAAAAAASUkqAAgAAAAEAA8BAgAQAAAAQgAAABAB
    AgAKAAAAUgAAAGmHBAABAAAAXAAAACWIBAABAAAAmQAAAAAAAAAAAAAASW52ZW50ZWQgT3B0aWNzAFBsYXRlIE9uZQACAAOQAgAUAAAAfgAAABGQAgAHAAAA
    kgAAAAAAAAAAAAAAMjAzMTowNDowMiAwOToxNTowMAAtMDU6MDAAAgABAAIAAgAAAE4AAAACAAUAAwAAALsAAAAAAAAAAAAAAAEAAAABAAAAAgAAAAEAAAAD
    AAAAAQAAAA==
    """);
}
