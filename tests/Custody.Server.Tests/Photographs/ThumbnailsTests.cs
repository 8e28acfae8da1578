using Custody.Server.Photographs;
using ImageMagick;

namespace Custody.Server.Tests.Photographs;

public sealed class ThumbnailsTests : IDisposable
{
    readonly PictureRoom room = new();

    public void Dispose() => room.Dispose();

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Thumbnails_deleted_come_back_byte_for_byte()
    {
        var taken = (await room.Receive(SamplePictures.Jpeg(1600, 1000))).Accepted!;
        await room.Thumbnails.MakeAll(taken.Released, Ct);
        var paths = Thumbnails.Sizes.Select(s => room.Thumbnails.PathOf(taken.Released, s)).ToList();
        var before = paths.Select(File.ReadAllBytes).ToList();
        Directory.Delete(Path.Combine(room.Folder, "thumbnails"), recursive: true);
        await room.Thumbnails.MakeAll(taken.Released, Ct);
        Assert.Equal(before, paths.Select(File.ReadAllBytes));
        Assert.Equal([160u, 480u, 1200u], before.Select(b => new MagickImageInfo(b).Width));
    }

    [Fact]
    public async Task A_small_picture_is_not_blown_up()
    {
        var taken = (await room.Receive(SamplePictures.Jpeg(64, 48))).Accepted!;
        var path = await room.Thumbnails.Make(taken.Released, 480, Ct);
        Assert.Equal(64u, new MagickImageInfo(await File.ReadAllBytesAsync(path!, Ct)).Width);
    }

    [Fact]
    public async Task Originals_have_no_thumbnails_and_sizes_are_a_fixed_list()
    {
        var taken = (await room.Receive(SamplePictures.CameraJpeg())).Accepted!;
        Assert.Null(await room.Thumbnails.Make(taken.Original, 160, Ct));
        await Assert.ThrowsAsync<ArgumentOutOfRangeException>(() => room.Thumbnails.Make(taken.Released, 161, Ct));
    }
}
