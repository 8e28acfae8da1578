using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

public class RubricTests
{
    public static PublishRubric Publish(long version = 1) => new(
        version, House,
        [
            new(SupportWord.Weak, One("2")), new(SupportWord.Moderate, One("10")), new(SupportWord.ModeratelyStrong, One("100")),
            new(SupportWord.Strong, One("1000")), new(SupportWord.VeryStrong, One("10000")), new(SupportWord.ExtremelyStrong, One("1000000")),
        ],
        [new(UseWord.Slight, FindingKind.BallMark, 1), new(UseWord.Heavy, FindingKind.BallMark, 20)],
        [new(ConditionWord.Good, FindingKind.HandleCrack, 0), new(ConditionWord.Fair, FindingKind.HandleCrack, 1)], [],
        new PicturesOnlyLimit(SupportWord.Moderate, FromPictures.MayBeGraded, FromPictures.NotAssessable), "Three words", "The rubric.", null)
    { By = House };

    /// <summary>A rubric's first version, to be cited.</summary>
    public static Entry Rubric() => new Story<RubricFile>("rubric").Given(Publish()).Entries[0];

    static string Refused(PublishRubric rubric) => new Story<RubricFile>("rubric").Refused(rubric);

    [Fact]
    public void Versions_follow_one_another_and_are_retired_once()
    {
        var story = new Story<RubricFile>("rubric").Given(Publish(), Publish(2));
        Assert.Equal("version-out-of-order", story.Refused(Publish(2)));
        Assert.Equal("version-out-of-order", story.Refused(Publish(4)));
        var retire = new RetireRubric(1, RetirementGround.Replaced, "a second version") { By = House };
        story.Given(retire);
        Assert.Equal("retired-already", story.Refused(retire));
        Assert.Equal("no-such-version", story.Refused(retire with { Version = 3 }));
        Assert.Equal((3L, (long?)null), (story.State.Versions[1].Retired!.Value, story.State.Versions[2].Retired));
    }

    [Fact]
    public void The_bands_of_the_scale_rise()
    {
        Assert.Equal("bands-out-of-order", Refused(Publish() with { Bands = [] }));
        Assert.Equal("bands-out-of-order", Refused(Publish() with { Bands = [new(SupportWord.Weak, One("10")), new(SupportWord.Moderate, One("10"))] }));
        Assert.Equal("bands-out-of-order", Refused(Publish() with { Bands = [new(SupportWord.Strong, One("2")), new(SupportWord.Weak, One("10"))] }));
        Assert.Equal("bands-out-of-order", Refused(Publish() with { Bands = [new(SupportWord.Neither, One("1"))] }));
        Assert.Equal("bands-out-of-order", Refused(Publish() with { Bands = [new(SupportWord.Weak, One("0"))] }));
    }

    [Fact]
    public void Thresholds_can_be_counted() =>
        Assert.Equal("threshold-out-of-range", Refused(Publish() with { UseRules = [new(UseWord.Slight, FindingKind.BallMark, 0)] }));

    [Fact]
    public void A_mark_read_as_use_and_as_condition_is_said_to_be()
    {
        var twice = Publish() with { ConditionRules = [new(ConditionWord.Good, FindingKind.BallMark, 3)] };
        Assert.Equal("mark-read-twice", Refused(twice));
        Assert.Equal("mark-read-twice", Refused(Publish() with { ReadTwice = [FindingKind.Chip] }));
        new Story<RubricFile>("rubric").Given(twice with { ReadTwice = [FindingKind.BallMark] });
    }
}
