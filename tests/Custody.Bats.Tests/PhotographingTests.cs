using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

public class PhotographingTests
{
    [Fact]
    public void Pictures_are_known_by_their_released_copy()
    {
        var story = Registered().Given(Photograph('x', 'y'));
        Assert.Equal(2, story.State.Photographs.Recording(Picture('y'), story.State.Corrections));
        Assert.Null(story.State.Photographs.Recording(Picture('z'), story.State.Corrections));
    }

    [Fact]
    public void An_entry_without_pictures_is_refused() => Assert.Equal("no-pictures", Registered().Refused(Photograph()));

    [Fact]
    public void A_picture_is_recorded_once() =>
        Assert.Equal("picture-recorded-already", Registered().Given(Photograph('x')).Refused(Photograph('y', 'x')));

    [Fact]
    public void A_picture_stands_once_in_its_entry() => Assert.Equal("picture-recorded-already", Registered().Refused(Photograph('x', 'x')));

    [Theory]
    [InlineData(SurfaceShape.Point, "3", null, "10", null, null)]
    [InlineData(SurfaceShape.Band, "3", "3", null, null, null)]
    [InlineData(SurfaceShape.Patch, "3", "4", "350", "0", null)]
    [InlineData(SurfaceShape.Point, "60", null, "0", null, null)]
    [InlineData(SurfaceShape.Point, "60.1", null, "0", null, "place-off-the-bat")]
    [InlineData(SurfaceShape.Point, "-1", null, "0", null, "place-off-the-bat")]
    [InlineData(SurfaceShape.Point, "3", null, "360", null, "place-off-the-bat")]
    [InlineData(SurfaceShape.Band, "4", "3", null, null, "place-off-the-bat")]
    [InlineData(SurfaceShape.Band, "3", null, null, null, "place-incomplete")]
    [InlineData(SurfaceShape.Patch, "3", "4", "1", null, "place-incomplete")]
    [InlineData(SurfaceShape.Point, "3", null, null, null, "place-incomplete")]
    [InlineData(SurfaceShape.Point, "3", "4", "1", null, "place-incomplete")]
    public void A_place_lies_on_the_bat_and_is_bounded_as_its_shape_needs(
        SurfaceShape shape, string from, string? to, string? fromAngle, string? toAngle, string? code)
    {
        var place = new SurfacePlace(shape, SurfaceDatum.Brand, Inches(from), to is null ? null : Inches(to),
            fromAngle is null ? null : Degrees(fromAngle), toAngle is null ? null : Degrees(toAngle));
        Assert.Equal(code, SurfacePlace.Refuse(place).SingleOrDefault()?.Code);
    }

    [Fact]
    public void A_datum_that_is_not_the_brand_is_photographed()
    {
        var place = new SurfacePlace(SurfaceShape.Point, SurfaceDatum.PhotographedMark, Inches("3"), null, Degrees("0"), null);
        Assert.Equal("place-incomplete", Assert.Single(SurfacePlace.Refuse(place)).Code);
        Assert.Empty(SurfacePlace.Refuse(place with { Mark = Picture('m') }));
    }

    [Fact]
    public void A_place_in_the_wrong_units_is_refused()
    {
        var place = new SurfacePlace(SurfaceShape.Point, SurfaceDatum.Brand, Degrees("3"), null, Degrees("0"), null);
        var pictures = Photograph('x').Pictures.Select(p => p with { Area = place }).ToList();
        Assert.Equal("place-off-the-bat", Registered().Refused(Photograph() with { Pictures = pictures }));
    }
}
