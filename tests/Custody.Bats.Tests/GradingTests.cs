using Custody.Evidence;
using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

public class GradingTests
{
    static readonly Entry Rubric = RubricTests.Rubric();

    static readonly Grade Strong = new(SupportFor.Proposition, SupportWord.Strong, UseWord.Heavy, ConditionWord.Good);

    static GiveOpinion Graded(params long[] examinations) => Opine(examinations) with { Grade = Strong, Rubric = Rubric.Reference };

    // Entry 2 photographs, entry 3 an examination of them, closed by entry 5.
    static Story<Bat> SeenInPicturesOnly() => Registered().Citing(Rubric)
        .Given(Photograph('x'), Open(ExaminedFrom.PicturesOnly, photographs: 2), Lock(3), Close(3));

    [Fact]
    public void An_opinion_keeps_what_it_rests_on_and_on_what_terms_it_was_given()
    {
        var story = Examined().Citing(Rubric).Given(Cite(), Graded(2) with
        {
            Grounds = new OpinionGrounds([2], Sources: [5]),
            Departures = [new(GradeAxis.Use, DepartureGround.UnusualCase, "a handle of another bat")],
            Interests = [DeclaredInterest.SellsTheBat],
            Fee = FeeTerms.Contingent,
        });
        var opinion = story.State.Opinions.ByEntry[6];
        Assert.Equal(OpinionOrigin.Given, opinion.Origin);
        Assert.Equal([2L, 5L], opinion.RestsOn);
        Assert.Equal((FeeTerms.Contingent, Strong), (opinion.Fee, opinion.Grade));
        Assert.Equal([DeclaredInterest.SellsTheBat], opinion.Interests);
        Assert.Equal([GradeAxis.Use], opinion.Departures);
        Assert.Equal([Rubric.Reference], story.Entries[5].Fact.Cites);
        Assert.False(opinion.PicturesOnly);
    }

    [Fact]
    public void An_opinion_of_this_house_rests_on_a_closed_examination()
    {
        Assert.Equal("no-closed-examination", Registered().Refused(Opine()));
        Assert.Equal("no-closed-examination", Registered().Given(Open()).Refused(Opine(2)));
        Assert.Equal("no-closed-examination", Registered().Given(Open(), Lock(2)).Refused(Opine(2)));
        Assert.Equal("no-closed-examination", Registered().Given(Open(), Close(2, outcome: ExaminationOutcome.GivenUp)).Refused(Opine(2)));
        Assert.Equal("no-closed-examination", Examined().Given(Open()).Refused(Opine(2, 5)));
        Assert.Equal("no-such-examination", Registered().Refused(Opine(1)));
    }

    [Fact]
    public void Another_houses_examination_does_not_carry_ours()
    {
        var story = Registered().Given(Open(house: OtherHouse), Lock(2), Close(2));
        Assert.Equal("no-closed-examination", story.Refused(Opine(2)));
        story.Given(Open(), Lock(5), Close(5), Opine(2, 5));
    }

    [Fact]
    public void From_pictures_only_is_allowed_and_shows()
    {
        var story = SeenInPicturesOnly().Given(Opine(3));
        Assert.True(story.State.Opinions.ByEntry[6].PicturesOnly);
    }

    [Theory]
    [InlineData(SupportWord.Moderate, UseWord.Heavy, ConditionWord.NotAssessable, true)]
    [InlineData(SupportWord.ModeratelyStrong, UseWord.Heavy, ConditionWord.NotAssessable, false)]
    [InlineData(SupportWord.Moderate, UseWord.Heavy, ConditionWord.Fair, false)]
    public void From_pictures_only_the_rubric_limits_the_grade(SupportWord support, UseWord use, ConditionWord condition, bool allowed)
    {
        var opinion = Graded(3) with { Grade = new Grade(SupportFor.Proposition, support, use, condition) };
        if (allowed) SeenInPicturesOnly().Given(opinion);
        else Assert.Equal("pictures-only-limit", SeenInPicturesOnly().Refused(opinion));
    }

    [Fact]
    public void No_departure_lifts_the_limit_of_pictures() => Assert.Equal("pictures-only-limit", SeenInPicturesOnly().Refused(
        Graded(3) with { Departures = [new(GradeAxis.Support, DepartureGround.UnusualCase, "very clear pictures")] }));

    [Fact]
    public void Once_the_bat_was_in_hand_the_limit_is_gone()
    {
        var story = SeenInPicturesOnly().Given(Open(), Lock(6), Close(6), Graded(3, 6));
        Assert.False(story.State.Opinions.ByEntry[9].PicturesOnly);
    }

    [Fact]
    public void A_grade_is_made_under_a_published_rubric()
    {
        var story = Examined().Citing(Rubric);
        Assert.Equal("grade-without-rubric", story.Refused(Graded(2) with { Rubric = null }));
        Assert.Equal("grade-without-rubric", story.Refused(Graded(2) with { Grade = null }));
        Assert.Equal("cited-not-found", story.Refused(Graded(2) with { Rubric = Rubric.Reference with { N = 2 } }));
        Assert.Equal("cited-not-found", story.Refused(Graded(2) with { Rubric = story.Entries[0].Reference }));
        Assert.Equal("support-without-direction", story.Refused(Graded(2) with { Grade = Strong with { For = SupportFor.Neither } }));
    }

    [Fact]
    public void A_departure_departs_from_one_part_of_a_grade()
    {
        var departure = new DepartureStated(GradeAxis.Use, DepartureGround.RubricSilent, "no rule for this");
        Assert.Equal("departure-of-nothing", Examined().Refused(Opine(2) with { Departures = [departure] }));
        Assert.Equal("departure-of-nothing", Examined().Citing(Rubric).Refused(Graded(2) with { Departures = [departure, departure] }));
    }

    [Fact]
    public void Files_are_cited_by_a_version_of_their_counts()
    {
        Assert.Equal("cited-not-found", Examined().Citing(Rubric).Refused(Opine(2) with { HabitFile = Rubric.Reference }));
        Assert.Equal("cited-not-found", Examined().Citing(Rubric).Refused(Opine(2) with { ComparisonFile = Rubric.Reference }));
        var (habits, others) = (HabitFileTests.Version(), ComparisonFileTests.Version());
        Examined().Citing(habits).Citing(others).Given(Opine(2) with { HabitFile = habits.Reference, ComparisonFile = others.Reference });
    }

    [Fact]
    public void An_opinion_is_recorded_by_its_examiner_or_its_house()
    {
        Assert.Equal("not-the-giver", Examined().Refused(Opine(2) with { By = Owner }));
        Assert.Equal("examiners-not-named", Examined().Refused(Opine(2) with { Examiners = [Examiner, Examiner] }));
        Assert.Equal("examiners-not-named", Examined().Refused(Opine(2) with { Examiners = [], By = House }));
        Examined().Given(Opine(2) with { By = House });
    }

    [Fact]
    public void Fee_payer_and_interest_are_stated()
    {
        Assert.Equal("terms-not-stated", Examined().Refused(Opine(2) with { Fee = FeeTerms.NotStated }));
        Assert.Equal("terms-not-stated", Examined().Refused(Opine(2) with { Interests = [DeclaredInterest.NotStated] }));
        Assert.Equal("payer-not-named", Examined().Refused(Opine(2) with { PaidBy = null }));
        Assert.Equal("payer-not-named", Examined().Refused(Opine(2) with { Fee = FeeTerms.NoFee }));
        Examined().Given(Opine(2) with { Fee = FeeTerms.NoFee, PaidBy = null });
    }

    [Fact]
    public void A_proposition_about_the_player_names_him_and_faces_both_alternatives()
    {
        IReadOnlyList<Weighing> one = [Weigh(PropositionLevel.UsedByHim, Alternative.UsedByAnotherProfessional)];
        IReadOnlyList<Weighing> both = [.. one, Weigh(PropositionLevel.UsedByHim, Alternative.PreparedLater, SupportFor.Neither, SupportWord.Neither)];
        Assert.Equal("alternative-missing", Examined().Refused(Opine(2) with { Pairs = one }));
        Assert.Equal("player-not-named", Examined().Refused(Opine(2) with { Pairs = both, Player = null }));
        Examined().Given(Opine(2) with { Pairs = both });
    }

    [Fact]
    public void An_opinion_weighs_each_pair_once()
    {
        Assert.Equal("no-propositions", Examined().Refused(Opine(2) with { Pairs = [] }));
        Assert.Equal("pair-weighed-twice", Examined().Refused(Opine(2) with { Pairs = [.. Opine(2).Pairs, .. Opine(2).Pairs] }));
        Assert.Equal("support-without-direction", Examined().Refused(Opine(2) with { Pairs = [Opine(2).Pairs[0] with { For = SupportFor.Neither }] }));
    }

    [Theory]
    [InlineData("1.7", "1.1", "2.2", SupportFor.Proposition, null)]
    [InlineData("-0.5", "-1", "-0.1", SupportFor.Alternative, null)]
    [InlineData("0.2", "-1", "1", SupportFor.Neither, null)]
    [InlineData("10", "9", "100", SupportFor.Proposition, null)]
    [InlineData("1.7", "1.8", "2.2", SupportFor.Proposition, "interval-out-of-order")]
    [InlineData("1.7", "1.1", "1.6", SupportFor.Proposition, "interval-out-of-order")]
    [InlineData("1.7", "1.1", null, SupportFor.Proposition, "interval-incomplete")]
    [InlineData(null, "1.1", "2", SupportFor.Proposition, "interval-incomplete")]
    [InlineData("1.7", null, null, SupportFor.Alternative, "direction-contradicts-weight")]
    [InlineData("-1.7", null, null, SupportFor.Proposition, "direction-contradicts-weight")]
    public void A_stated_weight_lies_in_its_interval_and_points_where_the_words_do(string? weight, string? low, string? high, SupportFor side, string? code)
    {
        Quantity? Number(string? text) => text is null ? null : One(text);
        var pair = new Weighing(PropositionLevel.UsedInPlay, Alternative.NotUsedInPlay, side,
            side == SupportFor.Neither ? SupportWord.Neither : SupportWord.Moderate, weight is null ? null : NumberMethod.Stated, Number(weight), Number(low), Number(high));
        var refusals = Examined().When(Opine(2) with { Pairs = [pair] });
        Assert.Equal(code, refusals.SingleOrDefault()?.Code);
    }

    [Fact]
    public void A_weight_has_no_unit_and_says_its_method()
    {
        var pair = Opine(2).Pairs[0] with { Weight = Inches("1"), Method = NumberMethod.Stated };
        Assert.Equal("weight-unit", Examined().Refused(Opine(2) with { Pairs = [pair] }));
        Assert.Equal("interval-incomplete", Examined().Refused(Opine(2) with { Pairs = [pair with { Weight = One("1"), Method = null }] }));
    }

    [Fact]
    public void Seasons_are_runs_of_years_in_order()
    {
        foreach (var runs in new IReadOnlyList<SeasonRun>[] { [new(1953, 1950)], [new(1950, 1953), new(1953, 1955)], [new(12, 13)] })
            Assert.Equal("seasons-out-of-order", Examined().Refused(Opine(2) with { Seasons = runs }));
        Examined().Given(Opine(2) with { Seasons = [new(1950, 1950), new(1952, 1953)] });
    }

    [Fact]
    public void Every_ground_of_an_opinion_exists()
    {
        Assert.Equal("no-such-source", Examined().Refused(Opine(2) with { Grounds = new OpinionGrounds([2], Sources: [2]) }));
        Assert.Equal("no-such-photograph", Examined().Refused(Opine(2) with { Grounds = new OpinionGrounds([2], Photographs: [2]) }));
        Assert.Equal("no-such-comparison", Examined().Refused(Opine(2) with { Grounds = new OpinionGrounds([2], Comparisons: [2]) }));
        Assert.Equal("no-such-treatment", Examined().Refused(Opine(2) with { Grounds = new OpinionGrounds([2], Treatments: [2]) }));
    }
}
