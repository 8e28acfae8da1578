using Custody.Server.Operating.DemoPictures;
using SkiaSharp;

namespace Custody.Server.Tests.Photographs;

public sealed class BatRendererTests
{
    static readonly BatLook Look = new(11)
    {
        Brand = ["HARROW & PIKE", "OAKENSHAW"],
        KnobNumber = "7",
        Tape = new(TapePattern.CrissCross, 2, 8),
        PineTar = new(9, 16, 0.8),
        BallMarks = 4,
        RackMarks = 4,
    };

    static SKBitmap Picture(BatLook look, BatView view, double roll = 0) => SKBitmap.Decode(BatRenderer.Draw(look, view, roll));

    /// <summary>Mean difference of the three channels over a box of pixels, 0 to 255.</summary>
    static double Difference(SKBitmap a, SKBitmap b, SKRectI box)
    {
        double sum = 0;
        var (left, right) = (a.Pixels, b.Pixels);
        for (var y = box.Top; y < box.Bottom; y++)
        {
            for (var i = y * a.Width + box.Left; i < y * a.Width + box.Right; i++)
                sum += Math.Abs(left[i].Red - right[i].Red) + Math.Abs(left[i].Green - right[i].Green) + Math.Abs(left[i].Blue - right[i].Blue);
        }
        return sum / (3.0 * box.Width * box.Height);
    }

    [Theory]
    [InlineData(BatView.Full)]
    [InlineData(BatView.Brand)]
    [InlineData(BatView.Grain)]
    [InlineData(BatView.Handle)]
    [InlineData(BatView.Knob)]
    [InlineData(BatView.BarrelEnd)]
    public void The_same_look_gives_the_same_bytes(BatView view) => Assert.Equal(BatRenderer.Draw(Look, view), BatRenderer.Draw(Look, view));

    [Fact]
    public void A_bat_cleaned_later_shows_the_same_grain_and_brand_and_another_handle()
    {
        var cleaned = Look with { Tape = null, PineTar = null };
        var barrel = new SKRectI(200, 200, 1000, 540);
        Assert.Equal(0, Difference(Picture(Look, BatView.Brand), Picture(cleaned, BatView.Brand), barrel));
        Assert.InRange(Difference(Picture(Look, BatView.Handle), Picture(cleaned, BatView.Handle), new(350, 330, 900, 410)), 8, 255);
    }

    [Fact]
    public void Another_bat_has_another_grain()
    {
        var barrel = new SKRectI(200, 220, 1000, 520);
        Assert.True(Difference(Picture(Look, BatView.Grain), Picture(Look with { Seed = 12 }, BatView.Grain), barrel) > 6);
    }

    [Fact]
    public void A_bat_turned_shows_more_of_one_surface_not_another_bat()
    {
        // A quarter turn from the brand is the grain view, and a whole turn is where it began, on either side of the jump at 180 degrees.
        Assert.Equal(BatRenderer.Draw(Look, BatView.Brand, 90), BatRenderer.Draw(Look, BatView.Grain));
        foreach (var roll in (double[])[-90, 0, 120, 180])
            Assert.True(Difference(Picture(Look, BatView.Brand, roll), Picture(Look, BatView.Brand, roll + 360), new(100, 150, 1100, 600)) < 0.01);
    }

    [Theory]
    [InlineData(32)]
    [InlineData(35.5)]
    public void The_scale_in_the_picture_measures_the_bat(double length)
    {
        using var picture = Picture(Look with { Length = length }, BatView.Full);
        // The bar: black inches high and low by turns, unbroken from the first to the last; the words after it stand apart.
        var card = Enumerable.Range(0, 400).First(x => picture.GetPixel(x, 750).Red > 230);
        var first = Enumerable.Range(card, 400).First(Black);
        var inch = (Enumerable.Range(first, 400).First(x => !Black(x)) - first) / 6.0;
        bool Black(int x) => Math.Min(picture.GetPixel(x, 741).Red, picture.GetPixel(x, 747).Red) < 160;
        // The bat is brown: far more red than blue; the ground and the shadow are grey.
        var bat = Enumerable.Range(0, picture.Width).Where(x => picture.GetPixel(x, 368) is var p && p.Red - p.Blue > 25).ToList();
        Assert.Equal(length, (bat[^1] - bat[0] + 1) / inch, 0.4);
    }

    [Fact]
    public async Task A_demonstration_picture_comes_through_the_door_like_any_other()
    {
        using var room = new PictureRoom();
        var camera = new DemoCamera("Invented Optics", "Plate One", "2031:04:02 09:15:00", "-05:00", Latitude: -33.5, Longitude: 18.25);
        var original = BatRenderer.Draw(Look, BatView.Knob, camera: camera);
        var taken = (await room.Receive(original, "knob.jpg", "image/jpeg")).Accepted!;
        Assert.Empty(taken.Notes);
        Assert.Equal((1200, 800), (taken.Width, taken.Height));
        Assert.Equal(("Invented Optics Plate One", "2031-04-02T09:15:00-05:00"), (taken.Stated.Device, taken.Stated.Taken));
        var place = MetadataExtractor.ImageMetadataReader.ReadMetadata(new MemoryStream(original)).OfType<MetadataExtractor.Formats.Exif.GpsDirectory>().Single();
        var location = place.GetGeoLocation()!;
        Assert.Equal((-33.5, 18.25), (location.Latitude, location.Longitude));
    }
}
