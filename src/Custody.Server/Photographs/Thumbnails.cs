using ImageMagick;

namespace Custody.Server.Photographs;

/// <summary>
/// Small copies for pages, made from released copies and kept in a folder of this machine. They are by-products: the folder may be
/// deleted at any time and comes back as it was.
/// </summary>
public sealed class Thumbnails(PictureStores stores, Decoder decoder, PhotographOptions options)
{
    /// <summary>The longest sides offered, in pixels. A fixed list, so that no one can fill the folder with sizes.</summary>
    public static IReadOnlyList<int> Sizes { get; } = [160, 480, 1200];

    /// <summary>Where a thumbnail is or would be.</summary>
    public string PathOf(ContentHash released, int size) => Path.Combine(
      options.Folder, "thumbnails", size.ToString(System.Globalization.CultureInfo.InvariantCulture), released.Hex[..2], released.Hex + ".jpg");

    /// <summary>The path of the thumbnail, made if missing; null if no released copy has that hash. Never larger than the copy.</summary>
    /// <param name="size">Longest side in pixels, one of <see cref="Sizes"/>.</param>
    /// <exception cref="ArgumentOutOfRangeException">Another size.</exception>
    /// <exception cref="PictureDamagedException">The released copy is damaged in its store.</exception>
    public async Task<string?> Make(ContentHash released, int size, CancellationToken ct = default)
    {
        if (!Sizes.Contains(size)) throw new ArgumentOutOfRangeException(nameof(size), size, "Not a size thumbnails are made in.");
        var path = PathOf(released, size);
        if (File.Exists(path)) return path;
        return await decoder.InTurn(async () =>
        {
            if (await stores.Released.Read(released, ct) is not { } bytes) return null;
            Write(path, Shrink(bytes, size));
            return path;
        }, ct);
    }

    /// <summary>Makes every size of one picture.</summary>
    public async Task MakeAll(ContentHash released, CancellationToken ct = default)
    {
        foreach (var size in Sizes) await Make(released, size, ct);
    }

    static byte[] Shrink(byte[] released, int size)
    {
        var settings = new MagickReadSettings { Format = MagickFormat.Jpeg };
        var info = new MagickImageInfo(released, settings);
        // Lets the decoder skip detail that would be thrown away: 12 megapixels in a tenth of a second. It would blow a small picture up.
        if (Math.Max(info.Width, info.Height) > size * 2) settings.SetDefine(MagickFormat.Jpeg, "size", FormattableString.Invariant($"{size * 2}x{size * 2}"));
        using var picture = new MagickImage(released, settings);
        picture.Thumbnail(new MagickGeometry((uint)size, (uint)size) { Greater = true });
        picture.Strip();
        return ReleasedCopy.Jpeg(picture, quality: 82);
    }

    /// <summary>Renamed into place so that no page ever serves half a picture; not flushed, because a lost one is made again.</summary>
    static void Write(string path, byte[] bytes)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        var temporary = path + "." + Guid.NewGuid().ToString("N");
        File.WriteAllBytes(temporary, bytes);
        File.Move(temporary, path, overwrite: true);
    }
}
