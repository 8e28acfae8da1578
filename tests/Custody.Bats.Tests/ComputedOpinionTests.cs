using Custody.Evidence;
using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

public class ComputedOpinionTests
{
    internal static readonly Entry Rubric = RubricTests.Rubric(), Habits = HabitFileTests.Version(), Others = ComparisonFileTests.Version();

    /// <summary>1 registered; 2 to 4 an examination with tape f1, tar f2, eleven ball marks f3, no handle crack f4.</summary>
    internal static Story<Bat> Seen() => Registered().Citing(Rubric).Citing(Habits).Citing(Others).Given(
        Open(), Lock(2) with
        {
            Findings =
            [
                Tape(), PineTar(), new(FindingKind.BallMark, Presence.Seen, Confidence.High, SeenBy.RakingLight, null, One("11")),
                new(FindingKind.HandleCrack, Presence.Absent, Confidence.High, SeenBy.Microscope),
            ],
        }, Close(2));

    static Weighing Computed(Alternative against, string low = "1.101", SupportFor side = SupportFor.Proposition, SupportWord word = SupportWord.Moderate) =>
        new(PropositionLevel.UsedByHim, against, side, word, NumberMethod.Weight1, One("1.702"), One(low), One("2.203"));

    static readonly Grade ByRubric = new(SupportFor.Proposition, SupportWord.Weak, UseWord.Slight, ConditionWord.Good);

    internal static GiveComputedOpinion Opinion => new(
        House, [Examiner], Player, [Computed(Alternative.UsedByAnotherProfessional), Computed(Alternative.PreparedLater, "0.500", word: SupportWord.Weak)],
        new WeightInputs([new TraitRead(2, Observed.Seen, 1, 2, 1)], [], [], null, Pool.InPlay, null, [], []), null, new GradeGiven(PropositionLevel.UsedByHim, ByRubric, ByRubric),
        Rubric.Reference, null, new OpinionGrounds([2]), Habits.Reference, Others.Reference, null, Owner, Owner, FeeTerms.NotContingent, [], "used by him", null)
    { By = Examiner };

    static string Refused(GiveComputedOpinion opinion) => Seen().Refused(opinion);

    [Fact]
    public void An_opinion_with_computed_numbers_keeps_all_they_were_computed_from()
    {
        var story = Seen().Given(Opinion);
        var given = (OpinionGiven2)story.Entries[4].Fact;
        Assert.Equal("OpinionGiven.2", given.TypeName);
        Assert.Equal([Rubric.Reference, Habits.Reference, Others.Reference], given.Cites);
        Assert.Equal(Opinion.Inputs!.Traits, given.Inputs!.Traits);
        var opinion = story.State.Opinions.ByEntry[5];
        Assert.Equal((OpinionOrigin.Given, ByRubric), (opinion.Origin, opinion.Grade));
        Assert.Equal([(SupportFor.Proposition, SupportWord.Moderate), (SupportFor.Proposition, SupportWord.Weak)], opinion.Pairs.Select(p => (p.For, p.Word)));
    }

    [Fact]
    public void What_an_opinion_must_keep_to_it_keeps_to_in_either_shape()
    {
        Assert.Equal("no-closed-examination", Registered().Citing(Rubric).Citing(Habits).Citing(Others).Given(Open(), Lock(2)).Refused(Opinion));
        Assert.Equal("terms-not-stated", Refused(Opinion with { Fee = FeeTerms.NotStated }));
        Assert.Equal("player-not-named", Refused(Opinion with { Player = null }));
        Assert.Equal("alternative-missing", Refused(Opinion with { Pairs = [Opinion.Pairs[0]] }));
        Assert.Equal("not-the-giver", Refused(Opinion with { By = Owner }));
        Assert.Equal("cited-not-found", Refused(Opinion with { HabitFile = Rubric.Reference }));
    }

    [Fact]
    public void A_number_that_is_said_to_be_computed_says_from_what()
    {
        Assert.Equal("computed-without-inputs", Refused(Opinion with { Inputs = null }));
        Assert.Equal("computed-without-inputs", Refused(Opinion with { HabitFile = null }));
        Assert.Equal("computed-without-inputs", Refused(Opinion with { ComparisonFile = null }));
        // The shape without inputs carries stated numbers only.
        Assert.Equal("computed-without-inputs", Seen().Refused(Opine(2) with { Pairs = Opinion.Pairs }));
    }

    [Fact]
    public void Only_what_can_be_computed_is_said_to_be()
    {
        Weighing other = new(PropositionLevel.UsedInPlay, Alternative.NotUsedInPlay, SupportFor.Proposition, SupportWord.Moderate, NumberMethod.Weight1, One("1.7"), One("1.1"), One("2"));
        Assert.Equal("pair-not-computed", Refused(Opinion with { Pairs = [.. Opinion.Pairs, other] }));
        Seen().Given(Opinion with { Pairs = [.. Opinion.Pairs, other with { Method = NumberMethod.Stated }] });
        Assert.Equal("interval-incomplete", Refused(Opinion with { Pairs = [Opinion.Pairs[0] with { Low = null, High = null }, Opinion.Pairs[1]] }));
    }

    [Fact]
    public void Every_characteristic_is_read_from_a_finding_that_says_so()
    {
        Assert.Equal("inputs-unfit", Refused(WithTraits()));
        Assert.Equal("inputs-unfit", Refused(WithTraits(new(2, Observed.Seen, 1, 2, 1), new(2, Observed.Seen, 2, 2, 2))));
        Assert.Equal("trait-not-found", Refused(WithTraits(new TraitRead(2, Observed.Seen, 1, 2, 9))));
        Assert.Equal("trait-not-found", Refused(WithTraits(new TraitRead(2, Observed.Absent, null, 2, 1))));
        Assert.Equal("trait-not-found", Refused(WithTraits(new TraitRead(2, Observed.Seen, null, 2, 1))));
        Assert.Equal("trait-not-found", Refused(WithTraits(new TraitRead(2, Observed.Seen, 1, 7, 1))));
        Seen().Given(WithTraits(new TraitRead(2, Observed.Seen, 1, 2, 1), new TraitRead(3, Observed.Absent, null, 2, 4)));

        static GiveComputedOpinion WithTraits(params TraitRead[] traits) => Opinion with { Inputs = Opinion.Inputs! with { Traits = traits } };
    }

    [Fact]
    public void A_computed_weight_carries_the_word_of_the_bands()
    {
        Assert.Equal("word-not-by-scale", Refused(Opinion with { Pairs = [Computed(Alternative.UsedByAnotherProfessional, word: SupportWord.Strong), Opinion.Pairs[1]] }));
        Assert.Equal("word-not-by-scale", Refused(Opinion with { Pairs = [Computed(Alternative.UsedByAnotherProfessional, "-0.1"), Opinion.Pairs[1]] }));
    }

    [Fact]
    public void The_grade_is_the_rubrics_and_a_departure_shows_both()
    {
        var heavier = ByRubric with { Use = UseWord.Heavy };
        Assert.Equal("grade-not-by-rubric", Refused(Opinion with { Graded = new(PropositionLevel.UsedByHim, heavier, heavier) }));
        Assert.Equal("departure-not-said", Refused(Opinion with { Graded = new(PropositionLevel.UsedByHim, ByRubric, heavier) }));
        Assert.Equal("departure-not-said", Refused(Opinion with { Departures = [new(GradeAxis.Use, DepartureGround.UnusualCase, "nothing differs")] }));
        Assert.Equal("level-not-weighed", Refused(Opinion with { Graded = new(PropositionLevel.UsedInPlay, ByRubric, ByRubric) }));
        var departed = Opinion with
        {
            Graded = new(PropositionLevel.UsedByHim, ByRubric, heavier),
            Departures = [new(GradeAxis.Use, DepartureGround.UnusualCase, "the face is worn flat")],
        };
        var story = Seen().Given(departed);
        Assert.Equal(heavier, story.State.Opinions.ByEntry[5].Grade);
        Assert.Equal([GradeAxis.Use], story.State.Opinions.ByEntry[5].Departures);
        Assert.Equal((ByRubric, heavier), (((OpinionGiven2)story.Entries[4].Fact).Graded!.ByRubric, ((OpinionGiven2)story.Entries[4].Fact).Graded!.Given));
    }

    [Fact]
    public void A_revised_finding_changes_the_grade_that_follows()
    {
        var story = Seen().Given(new ReviseFindings(
            2, RevisionCause.NewMeasurement, [new(3, RevisionKind.Replaced, new(FindingKind.BallMark, Presence.Seen, Confidence.High, SeenBy.RakingLight, null, One("22")))], null,
            Second, "Counted again under a better lamp")
        { By = Examiner });
        Assert.Equal("grade-not-by-rubric", story.Refused(Opinion));
        var heavier = ByRubric with { Use = UseWord.Heavy };
        story.Given(Opinion with { Graded = new(PropositionLevel.UsedByHim, heavier, heavier) });
    }

    [Fact]
    public void Computed_seasons_name_the_dated_facts_and_run_in_order()
    {
        GiveComputedOpinion With(SeasonsMethod method, IReadOnlyList<long> dated, params SeasonSpan[] runs) =>
            Opinion with { Seasons = new SeasonsFound(method, runs, runs, dated) };
        Assert.Equal("seasons-from-nothing", Refused(With(SeasonsMethod.Seasons1, [], new SeasonSpan(1950, 1952))));
        // Stated seasons may name the dated facts they were read from, and only those.
        Assert.Equal("no-such-dating", Refused(With(SeasonsMethod.Stated, [1], new SeasonSpan(1950, 1952))));
        Assert.Equal("seasons-out-of-order", Refused(With(SeasonsMethod.Stated, [], new SeasonSpan(1953, 1952))));
        Assert.Equal("seasons-out-of-order", Refused(With(SeasonsMethod.Stated, [], new SeasonSpan(1950, null), new SeasonSpan(1955, 1956))));
        Assert.Equal("seasons-out-of-order", Refused(With(SeasonsMethod.Stated, [], new SeasonSpan(1950, 1952), new SeasonSpan(1952, 1953))));
        Seen().Given(With(SeasonsMethod.Stated, [], new SeasonSpan(null, 1950), new SeasonSpan(1952, 1953), new SeasonSpan(1955, null)));
    }
}
