using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

public class TreatingTests
{
    static readonly TreatBat Cleaned = new(
        [TreatmentKind.Cleaning], Reversible.No, [Touching.Water], Second, null, [Picture('x')], [Picture('y')], "the barrel", "water", "mould")
    { By = House };

    static readonly ReportTreatment Earlier =
        new([TreatmentKind.TapeRemoval], Reversible.NotKnown, null, AssertionBasis.HoldersWord, "years ago", null) { By = House };

    [Fact]
    public void A_treatment_shows_and_an_opinion_can_rest_on_it()
    {
        var story = Examined().Given(Cleaned, Earlier, Opine(2) with { Grounds = new OpinionGrounds([2], Treatments: [5, 6]) });
        Assert.Equal([false, true], story.State.Treatments.ByEntry.Values.Select(t => t.Reported));
        Assert.Equal([7L], story.State.Corrections.Dependents(5));
    }

    [Fact]
    public void A_treatment_is_recorded_by_whoever_has_the_bat_or_owns_it_and_reported_by_others()
    {
        Assert.Equal("not-in-your-hands", Registered().Refused(Cleaned with { By = Second }));
        Registered().Given(Cleaned with { By = Owner }, Earlier with { By = Second });
    }

    [Fact]
    public void A_treatment_says_what_was_done()
    {
        Assert.Equal("treatment-of-no-kind", Registered().Refused(Cleaned with { Kinds = [] }));
        Assert.Equal("treatment-of-no-kind", Registered().Refused(Earlier with { Kinds = [] }));
    }

    [Fact]
    public void A_treated_place_lies_on_the_bat() => Assert.Equal("place-off-the-bat", Registered().Refused(Cleaned with
    {
        Place = new SurfacePlace(SurfaceShape.Band, SurfaceDatum.Brand, Inches("30"), Inches("61"), null, null),
    }));
}
