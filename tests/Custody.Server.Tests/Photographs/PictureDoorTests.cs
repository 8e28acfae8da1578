using Custody.Server.Photographs;
using ImageMagick;
using MetadataExtractor;

namespace Custody.Server.Tests.Photographs;

public sealed class PictureDoorTests : IDisposable
{
    readonly PictureRoom room = new();

    public void Dispose() => room.Dispose();

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public static TheoryData<string, string, string, string> Refused() => new()
  {
    { "an empty file", nameof(Empty), "bat.jpg", FileRefusal.Empty },
    { "an SVG named .jpg", nameof(Svg), "bat.jpg", FileRefusal.Mislabelled },
    { "an SVG under its own name", nameof(Svg), "bat.svg", FileRefusal.FormatNotAccepted },
    { "a GIF", nameof(Gif), "bat.gif", FileRefusal.FormatNotAccepted },
    { "a zip named .png", nameof(SamplePictures.Zip), "bat.png", FileRefusal.Mislabelled },
    { "a PNG named .jpg", nameof(Png), "bat.jpg", FileRefusal.Mislabelled },
    { "an address instead of a picture", nameof(Address), "bat.jpg", FileRefusal.NotAPicture },
    { "a drawing script", nameof(Script), "bat.png", FileRefusal.NotAPicture },
    { "random bytes", nameof(Noise), "bat.jpg", FileRefusal.NotAPicture },
    { "an AVIF picture", nameof(Avif), "bat.avif", FileRefusal.FormatNotAccepted },
    { "a JPEG cut in half", nameof(HalfJpeg), "bat.jpg", FileRefusal.Truncated },
    { "a JPEG of three bytes", nameof(JpegStart), "bat.jpg", FileRefusal.DecodeFailed },
    { "a PNG with a wrong CRC", nameof(PngWrongCrc), "bat.png", FileRefusal.Damaged },
    { "a PNG cut short", nameof(HalfPng), "bat.png", FileRefusal.Truncated },
    { "a WebP cut short", nameof(HalfWebP), "bat.webp", FileRefusal.Truncated },
    { "a HEIC cut short", nameof(HalfHeic), "bat.heic", FileRefusal.Truncated },
    { "an animated WebP", nameof(SamplePictures.AnimatedWebP), "bat.webp", FileRefusal.TooManyFrames },
    { "an animated PNG", nameof(SamplePictures.AnimatedPng), "bat.png", FileRefusal.TooManyFrames },
    { "a HEIC with two pictures", nameof(SamplePictures.HeicBurst), "bat.heic", FileRefusal.TooManyFrames },
    { "a PNG announcing 400 megapixels", nameof(Png400), "bat.png", FileRefusal.TooManyPixels },
    { "a PNG announcing 90 megapixels", nameof(Png90), "bat.png", FileRefusal.TooManyPixels },
    { "a PNG with a side of zero", nameof(Png0), "bat.png", FileRefusal.DecodeFailed },
  };

    static byte[] Empty() => [];
    static byte[] Svg() => "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"9\" height=\"9\"><image href=\"/etc/passwd\"/></svg>"u8.ToArray();
    static byte[] Png() => SamplePictures.Of(MagickFormat.Png);
    static byte[] Gif() => SamplePictures.Of(MagickFormat.Gif);
    static byte[] Address() => "https://pictures.example.org/bat.jpg"u8.ToArray();
    static byte[] Script() => "push graphic-context\nimage over 0,0 0,0 '/etc/passwd'\npop graphic-context"u8.ToArray();
    static byte[] Avif() => SamplePictures.Of(MagickFormat.Avif);
    static byte[] HalfJpeg() => Half(SamplePictures.Jpeg());
    static byte[] JpegStart() => [0xFF, 0xD8, 0xFF];
    static byte[] HalfPng() => Half(Png());
    static byte[] HalfWebP() => Half(SamplePictures.Of(MagickFormat.WebP));
    static byte[] HalfHeic() => Half(SamplePictures.Heic());
    static byte[] Png400() => SamplePictures.PngAnnouncing(20_000, 20_000);
    static byte[] Png90() => SamplePictures.PngAnnouncing(10_000, 9_000);
    static byte[] Png0() => SamplePictures.PngAnnouncing(0, 10);
    static byte[] Half(byte[] bytes) => bytes[..(bytes.Length / 2)];

    static byte[] Noise()
    {
        var bytes = new byte[5000];
        new Random(1).NextBytes(bytes);
        return bytes;
    }

    static byte[] PngWrongCrc()
    {
        var png = Png();
        png[30] ^= 1; // in the check sum of IHDR: 8 signature + 8 length and type + 13 data = byte 29 to 32
        return png;
    }

    static byte[] Made(string builder) =>
      (byte[])(typeof(SamplePictures).GetMethod(builder) ?? typeof(PictureDoorTests).GetMethod(builder,
        System.Reflection.BindingFlags.NonPublic | System.Reflection.BindingFlags.Static))!.Invoke(null, null)!;

    [Theory, MemberData(nameof(Refused))]
    public async Task A_file_that_is_not_one_whole_ordinary_picture_is_refused_by_name_and_leaves_nothing(
      string what, string builder, string name, string code)
    {
        var before = room.Files();
        var answer = await room.Receive(Made(builder), name);
        Assert.Null(answer.Accepted);
        Assert.True(code == answer.Refused!.Code, $"{what}: expected {code}, got {answer.Refused}");
        Assert.NotEmpty(answer.Refused.Sentence);
        Assert.NotEmpty(answer.Refused.Remedy);
        Assert.Equal(before, room.Files());
    }

    [Fact]
    public async Task A_file_over_the_limit_is_refused_before_it_is_read_to_its_end()
    {
        using var small = new PictureRoom(maxBytes: 100_000);
        using var endless = new CountingZeros();
        var answer = await small.Pictures.Receive(endless, "bat.jpg", null, Ct);
        Assert.Equal(FileRefusal.TooLargeBytes, answer.Refused!.Code);
        Assert.True(endless.Given < 300_000);
        Assert.Empty(small.Files());
    }

    [Theory]
    [InlineData(MagickFormat.Jpeg, FileKind.Jpeg)]
    [InlineData(MagickFormat.Png, FileKind.Png)]
    [InlineData(MagickFormat.WebP, FileKind.WebP)]
    public async Task A_whole_picture_is_kept_as_received_with_a_released_copy_beside_it(MagickFormat format, FileKind kind)
    {
        var bytes = SamplePictures.Of(format);
        var taken = (await room.Receive(bytes)).Accepted!;
        Assert.Equal((kind, 48, 32, (long)bytes.Length), (taken.Format, taken.Width, taken.Height, taken.Length));
        Assert.Equal(bytes, await room.Stores.Originals.Read(taken.Original, Ct));
        Assert.Equal(ContentHash.Of(bytes), taken.Original);
        using var released = new MagickImage((await room.Stores.Released.Read(taken.Released, Ct))!, MagickFormat.Jpeg);
        Assert.Equal((48u, 32u), (released.Width, released.Height));
        Assert.False(await room.Stores.Released.Has(taken.Original, Ct) && taken.Original != taken.Released);
    }

    [Fact]
    public async Task A_HEIC_picture_is_accepted_and_its_statements_read()
    {
        var taken = (await room.Receive(SamplePictures.Heic(), "IMG_1.HEIC", "image/heic")).Accepted!;
        Assert.Equal((FileKind.Heic, 48, 32), (taken.Format, taken.Width, taken.Height));
        Assert.Equal(new StatedByFile("Invented Optics Plate One", "2031-04-02T09:15:00-05:00"), taken.Stated);
    }

    [Fact]
    public async Task The_released_copy_carries_no_metadata_at_all()
    {
        var original = SamplePictures.CameraJpeg();
        Assert.Contains(ImageMetadataReader.ReadMetadata(new MemoryStream(original)), d => d.Name == "GPS" && d.TagCount > 0);
        var taken = (await room.Receive(original)).Accepted!;
        var released = (await room.Stores.Released.Read(taken.Released, Ct))!;
        // JFIF is the container's own header, the other two are the picture's tables and size; "File Type" is the reader's own remark.
        Assert.Equal(["File Type", "Huffman", "JFIF", "JPEG"],
          ImageMetadataReader.ReadMetadata(new MemoryStream(released)).Select(d => d.Name).Order(StringComparer.Ordinal));
        Assert.Equal(["E0"], ApplicationSegmentsAndComments(released));
        Assert.True(released.AsSpan().IndexOf("Invented"u8) < 0 && released.AsSpan().IndexOf("back room"u8) < 0);
    }

    [Fact]
    public async Task The_released_copy_stands_upright_and_says_so_in_its_size()
    {
        var taken = (await room.Receive(SamplePictures.CameraJpeg(orientation: 6))).Accepted!;
        Assert.Equal((32, 48), (taken.Width, taken.Height));
        using var released = new MagickImage((await room.Stores.Released.Read(taken.Released, Ct))!, MagickFormat.Jpeg);
        // Orientation 6: the stored left edge is seen at the top. The stored left half is the light one.
        Assert.True(Lightness(released, 16, 6) > Lightness(released, 16, 42) + 60);
    }

    [Fact]
    public async Task The_same_picture_gives_the_same_released_bytes_even_while_others_are_decoded()
    {
        var bytes = SamplePictures.Jpeg(1600, 1200);
        var answers = await Task.WhenAll(Enumerable.Range(0, 4).Select(_ => room.Receive(bytes)));
        Assert.Single(answers.Select(a => a.Accepted!.Released).Distinct());
        Assert.Equal(2, room.Files().Count);
    }

    [Fact]
    public async Task What_a_file_says_of_its_device_is_cleaned_of_characters_that_deceive()
    {
        var taken = (await room.Receive(SamplePictures.CameraJpeg(make: "Inv\u202Eented\u200B \u0007 Optics" + new string('x', 300)))).Accepted!;
        Assert.StartsWith("Inv", taken.Stated.Device, StringComparison.Ordinal);
        Assert.DoesNotContain(taken.Stated.Device!, c => char.IsControl(c) || c is '\u202E' or '\u200B');
        Assert.True(taken.Stated.Device!.Length <= 100);
    }

    [Theory]
    [InlineData("https://pictures.example.org/x.jpg")]
    [InlineData("../../etc/passwd")]
    [InlineData("|touch pwned.jpg")]
    [InlineData("ephemeral:/etc/passwd")]
    [InlineData("svg:bat.jpg")]
    [InlineData("\0\uD800.jpg")]
    public async Task The_sender_s_file_name_is_never_more_than_its_ending(string name)
    {
        var taken = (await room.Receive(SamplePictures.Jpeg(64, 48), name)).Accepted!;
        var names = room.Files().Select(f => Path.GetFileName(f)!).ToList();
        Assert.Equal(2, names.Count);
        // The released copy goes by its hash, the original by a keyed name: nothing of the sender's in either.
        Assert.Contains(taken.Released.Hex, names);
        Assert.All(names, n => Assert.Equal(n, ContentHash.Parse(n).Hex));
        Assert.DoesNotContain(taken.Original.Hex, names);
    }

    [Fact]
    public async Task Any_damage_to_a_picture_ends_in_an_answer_never_in_an_exception()
    {
        var random = new Random(20310402);
        byte[][] good = [SamplePictures.CameraJpeg(), SamplePictures.Of(MagickFormat.Png), SamplePictures.Of(MagickFormat.WebP), SamplePictures.Heic()];
        var refused = 0;
        for (var round = 0; round < 200; round++)
        {
            var bytes = good[round % 4].ToArray();
            for (var hits = 0; hits < 1 + round % 5; hits++) bytes[random.Next(bytes.Length)] = (byte)random.Next(256);
            var answer = await room.Receive(round % 3 == 0 ? bytes[..random.Next(bytes.Length)] : bytes);
            Assert.True(answer.Accepted is null != answer.Refused is null);
            if (answer.Refused is not null) refused++;
        }
        Assert.InRange(refused, 60, 199);
        Assert.DoesNotContain(room.Files(), f => f.Contains("incoming", StringComparison.Ordinal));
    }

    [Fact]
    public async Task The_largest_picture_taken_lying_is_taken_standing_too()
    {
        var taken = (await room.Receive(SamplePictures.Sideways(10_000, 8_000))).Accepted!;
        Assert.Equal((8_000, 10_000), (taken.Width, taken.Height));
    }

    static double Lightness(MagickImage picture, int x, int y)
    {
        using var pixels = picture.GetPixels();
        return pixels.GetPixel(x, y).ToColor()!.G;
    }

    /// <summary>ISO/IEC 10918-1 B.1.1: the APPn and COM markers before the scan, read without any library.</summary>
    static IEnumerable<string> ApplicationSegmentsAndComments(byte[] jpeg)
    {
        for (var at = 2; jpeg[at + 1] != 0xDA; at += 2 + (jpeg[at + 2] << 8) + jpeg[at + 3])
        {
            if (jpeg[at + 1] is >= 0xE0 and <= 0xEF or 0xFE) yield return jpeg[at + 1].ToString("X2", System.Globalization.CultureInfo.InvariantCulture);
        }
    }

    sealed class CountingZeros : Stream
    {
        public long Given { get; private set; }
        public override int Read(byte[] buffer, int offset, int count)
        {
            Given += count;
            return count;
        }
        public override bool CanRead => true;
        public override bool CanSeek => false;
        public override bool CanWrite => false;
        public override long Length => long.MaxValue;
        public override long Position { get => Given; set => throw new NotSupportedException(); }
        public override void Flush() { }
        public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();
        public override void SetLength(long value) => throw new NotSupportedException();
        public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();
    }
}
