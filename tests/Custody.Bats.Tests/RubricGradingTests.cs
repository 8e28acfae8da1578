using Custody.Evidence;
using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

public class RubricGradingTests
{
    // Ball marks: slight from 1, moderate from 5, heavy from 15; one handle crack is heavy too. Cracks: excellent 0, good 1, fair 2; filled ones: fair 1.
    static readonly RubricPublished Rubric = (RubricPublished)new Story<RubricFile>("rubric").Given(RubricTests.Publish() with
    {
        UseRules =
        [
            new(UseWord.Slight, FindingKind.BallMark, 1), new(UseWord.Moderate, FindingKind.BallMark, 5), new(UseWord.Heavy, FindingKind.BallMark, 15),
            new(UseWord.Heavy, FindingKind.HandleCrack, 1),
        ],
        ConditionRules =
        [
            new(ConditionWord.Excellent, FindingKind.HandleCrack, 0), new(ConditionWord.Good, FindingKind.HandleCrack, 1),
            new(ConditionWord.Fair, FindingKind.HandleCrack, 2), new(ConditionWord.Fair, FindingKind.FilledCrack, 1),
        ],
        ReadTwice = [FindingKind.HandleCrack],
    }).Entries[0].Fact;

    static readonly (SupportFor, SupportWord)[] Strongly = [(SupportFor.Proposition, SupportWord.Strong)];

    static RubricGrade Grade(string marks, bool pictures = false, params (SupportFor, SupportWord)[] pairs) => RubricGrading.Of(
        Rubric,
        marks.Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(m => m.Split(':')).ToDictionary(
            m => Enum.Parse<FindingKind>(m[0]), m => new MarkCount(int.Parse(m[1].TrimEnd('+'), System.Globalization.CultureInfo.InvariantCulture), !m[1].EndsWith('+'), 2)),
        pairs.Length == 0 ? Strongly : pairs, pictures);

    [Theory]
    [InlineData("BallMark:0 HandleCrack:0 FilledCrack:0", UseWord.NoneSeen, ConditionWord.Excellent, false)]
    [InlineData("BallMark:4 HandleCrack:0 FilledCrack:0", UseWord.Slight, ConditionWord.Excellent, false)]
    [InlineData("BallMark:5 HandleCrack:0 FilledCrack:1", UseWord.Moderate, ConditionWord.Excellent, false)]
    [InlineData("BallMark:15 HandleCrack:0 FilledCrack:2", UseWord.Heavy, ConditionWord.Poor, false)]
    [InlineData("BallMark:0 HandleCrack:1 FilledCrack:0", UseWord.Heavy, ConditionWord.Good, false)]
    [InlineData("BallMark:0 HandleCrack:2 FilledCrack:0", UseWord.Heavy, ConditionWord.Fair, false)]
    [InlineData("BallMark:0 HandleCrack:3 FilledCrack:0", UseWord.Heavy, ConditionWord.Poor, false)]
    [InlineData("BallMark:4 HandleCrack:0+ FilledCrack:0", UseWord.Slight, ConditionWord.NotAssessable, true)]
    [InlineData("BallMark:4+ HandleCrack:3+", UseWord.Heavy, ConditionWord.Poor, false)]
    [InlineData("BallMark:0 FilledCrack:0", UseWord.NotAssessable, ConditionWord.NotAssessable, true)]
    [InlineData("", UseWord.NotAssessable, ConditionWord.NotAssessable, true)]
    public void Each_word_follows_from_counted_marks_by_its_own_rules(string marks, UseWord use, ConditionWord condition, bool atLeast)
    {
        var given = Grade(marks);
        Assert.Equal((use, condition, atLeast), (given.Grade.Use, given.Grade.Condition, given.UseIsAtLeast));
        Assert.Equal((SupportFor.Proposition, SupportWord.Strong), (given.Grade.For, given.Grade.Support));
    }

    [Fact]
    public void Every_rule_shows_what_it_read_and_a_mark_read_twice_says_so()
    {
        var rules = Grade("BallMark:6 HandleCrack:1+ FilledCrack:0").Rules;
        Assert.Equal(
            [RuleMet.Yes, RuleMet.Yes, RuleMet.No, RuleMet.Yes, RuleMet.No, RuleMet.CannotBeTold, RuleMet.CannotBeTold, RuleMet.Yes], rules.Select(r => r.Met));
        Assert.All(rules, r => Assert.Equal(r.Reads == FindingKind.HandleCrack, r.ReadTwice));
        Assert.Equal((6, 5, 2L), (rules[1].Counted, rules[1].Threshold, rules[1].Examination!.Value));
    }

    [Fact]
    public void Pictures_alone_carry_no_more_than_the_rubric_says_and_the_limit_shows()
    {
        var limited = Grade("BallMark:6 HandleCrack:0 FilledCrack:0", pictures: true);
        Assert.Equal(new Grade(SupportFor.Proposition, SupportWord.Moderate, UseWord.Moderate, ConditionWord.NotAssessable), limited.Grade);
        Assert.Equal([GradeAxis.Support, GradeAxis.Condition], limited.LimitedByPictures);
        Assert.Empty(Grade("BallMark:6 HandleCrack:0 FilledCrack:0").LimitedByPictures);
    }

    [Fact]
    public void Support_is_the_weakest_against_any_alternative_and_none_when_sides_differ()
    {
        (SupportFor, SupportWord) strong = (SupportFor.Proposition, SupportWord.Strong), weak = (SupportFor.Proposition, SupportWord.Weak);
        Assert.Equal((SupportFor.Proposition, SupportWord.Weak), Side(strong, weak));
        Assert.Equal((SupportFor.Neither, SupportWord.Neither), Side(strong, (SupportFor.Neither, SupportWord.Neither)));
        Assert.Equal((SupportFor.Neither, SupportWord.Neither), Side(strong, (SupportFor.Alternative, SupportWord.Strong)));
        Assert.Equal((SupportFor.Alternative, SupportWord.Moderate), Side((SupportFor.Alternative, SupportWord.Moderate)));

        static (SupportFor, SupportWord) Side(params (SupportFor, SupportWord)[] pairs) => (Grade("", false, pairs).Grade.For, Grade("", false, pairs).Grade.Support);
    }

    // Bands of the rubric: weak from 2, moderate from 10, moderately strong from 100, strong from 1,000, ...
    [Theory]
    [InlineData("0.300", "2.000", SupportFor.Neither, SupportWord.Neither)] // below 2
    [InlineData("0.301", "2.000", SupportFor.Proposition, SupportWord.Weak)]
    [InlineData("0.999", "5.000", SupportFor.Proposition, SupportWord.Weak)]
    [InlineData("1.000", "1.000", SupportFor.Proposition, SupportWord.Moderate)]
    [InlineData("2.999", "9.000", SupportFor.Proposition, SupportWord.ModeratelyStrong)]
    [InlineData("6.000", "9.000", SupportFor.Proposition, SupportWord.ExtremelyStrong)]
    [InlineData("-0.001", "4.000", SupportFor.Neither, SupportWord.Neither)] // contains 1
    [InlineData("0.000", "4.000", SupportFor.Neither, SupportWord.Neither)]
    [InlineData("-4.000", "-0.301", SupportFor.Alternative, SupportWord.Weak)]
    [InlineData("-4.000", "-3.000", SupportFor.Alternative, SupportWord.Strong)]
    [InlineData("-4.000", "-0.300", SupportFor.Neither, SupportWord.Neither)]
    public void The_end_of_the_interval_nearest_1_picks_the_word(string low, string high, SupportFor side, SupportWord word) =>
        Assert.Equal((side, word), RubricGrading.WordOf(Rubric.Bands, DecimalText.Parse(low), DecimalText.Parse(high)));

    [Fact]
    public void A_first_band_above_2_leaves_what_lies_below_it_unsupported() =>
        Assert.Equal((SupportFor.Neither, SupportWord.Neither), RubricGrading.WordOf([new(SupportWord.Moderate, One("10"))], DecimalText.Parse("0.9"), DecimalText.Parse("2")));

    [Fact]
    public void Marks_are_read_from_the_bat_in_hand_before_pictures_and_from_the_latest_that_could_judge()
    {
        FindingStated Balls(string count, Presence presence = Presence.Seen) =>
            new(FindingKind.BallMark, presence, Confidence.High, SeenBy.RakingLight, null, presence == Presence.Seen ? One(count) : null);
        var story = Registered().Given(
            Open(), Lock(2) with { Findings = [Balls("11"), Balls("2")], Layers = null }, Close(2), Photograph('x'),
            Open(ExaminedFrom.PicturesOnly, photographs: 5), Lock(6) with { Findings = [Balls("40"), Tape()], Layers = null }, Close(6),
            Open(), Lock(9) with { Findings = [Balls("", Presence.NotAssessable)], Layers = null }, Close(9));
        var marks = Marks.In(story.State.Examinations.ByEntry);
        // 11 and 2 from the bat in hand: the later look could not judge, and pictures come last.
        Assert.Equal(new MarkCount(13, true, 2), marks[FindingKind.BallMark]);
        Assert.Equal(new MarkCount(1, true, 6), marks[FindingKind.Tape]);
        Assert.Equal(new MarkCount(0, false, 9), Marks.In(story.State.Examinations.ByEntry.Where(e => e.Key == 9))[FindingKind.BallMark]);
    }

    [Theory]
    [InlineData("7", 7)]
    [InlineData("7.9", 7)]
    [InlineData("-3", 0)]
    [InlineData("99999999999999", 2147483)]
    public void A_count_that_nobody_can_count_is_read_as_what_certainly_is_there(string measure, int count) =>
        Assert.Equal(count, FindingHeld.Of(FindingKind.BallMark, Presence.Seen, One(measure)).Count);

    [Fact]
    public void A_length_is_one_mark() => Assert.Equal(1, FindingHeld.Of(FindingKind.HandleCrack, Presence.Seen, Inches("4")).Count);
}
