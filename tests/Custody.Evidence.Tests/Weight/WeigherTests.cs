using System.Text.Json;
using Custody.Evidence.Weight;
using static Custody.Evidence.Tests.Weight.Files;

namespace Custody.Evidence.Tests.Weight;

public class WeigherTests
{
    [Fact]
    public void The_same_inputs_give_the_same_text()
    {
        static string Text() => JsonSerializer.Serialize(Weigh(Input(His(9))));
        Assert.Equal(Text(), Text());
    }

    [Fact]
    public void Both_alternatives_stand_on_the_page_and_the_direction_is_said()
    {
        var result = Weigh(Input(His(9)));
        Assert.Equal(2, result.Pairs.Count);
        Assert.Equal(Direction.Proposition, result.Another().Wording.For);
        Assert.All(result.Pairs, p => Assert.NotEmpty(p.Alternative));
    }

    [Fact]
    public void The_number_lies_in_its_interval_and_words_come_from_the_end_nearest_one()
    {
        foreach (var pair in Weigh(Input(His(9))).Pairs)
        {
            var (low, mid, high) = (DecimalText.Parse(pair.Weight.Low), DecimalText.Parse(pair.Weight.Log10), DecimalText.Parse(pair.Weight.High));
            Assert.True(low <= mid && mid <= high);
            Assert.Equal(VerbalScale.Enfsi2015.Words(low, high), pair.Wording);
        }
    }

    [Fact]
    public void Of_a_family_the_first_assessable_member_counts_and_the_others_are_shown_uncounted()
    {
        var all = Weigh(Input([Only(1, 1, 1), Only(2, 2, 2), Only(3, 4, 1)])).Another();
        Assert.Equal([[1L], [4L]], all.Counted);
        Assert.Contains(new UncountedCharacteristic(2, Uncounted.NotFirstOfFamily), all.NotCounted);
        Assert.Contains(new UncountedCharacteristic(3, Uncounted.NoOccasions), all.NotCounted);

        BatFinding[] handleGone = [new(1, FoundState.NotAssessable), .. Like[1..]];
        var second = Weigh(Input([Only(1, 1, 1), Only(2, 2, 2), Only(3, 4, 1)], handleGone)).Another();
        Assert.Equal([[2L], [4L]], second.Counted);
        Assert.Contains(new UncountedCharacteristic(1, Uncounted.NotAssessable), second.NotCounted);
    }

    [Fact]
    public void Which_member_counts_does_not_turn_on_what_the_bat_shows()
    {
        BatFinding[] unlike = [new(1, FoundState.Absent), .. Like[1..]];
        var sources = new[] { Only(1, 1, 1), Only(2, 2, 2) };
        Assert.Equal(Weigh(Input(sources)).Another().Counted, Weigh(Input(sources, unlike)).Another().Counted);
    }

    [Fact]
    public void Joint_counts_are_used_where_enough_occasions_and_players_show_both()
    {
        Assert.Contains(Weigh(Input(His(5))).Another().Counted, members => members.SequenceEqual([1L, 2L]));
        Assert.DoesNotContain(Weigh(Input(His(4))).Another().Counted, members => members.Count > 1);
    }

    [Fact]
    public void Full_independence_is_a_bound_beside_the_number()
    {
        var pair = Weigh(Input(His(4))).Another();
        Assert.True(DecimalText.Parse(pair.FullIndependence).ToDouble() > pair.Log());
    }

    [Fact]
    public void What_can_be_added_counts_against_later_preparation_only_where_custody_is_older_than_publication()
    {
        var undocumented = Weigh(Input(His(4))).Prepared();
        Assert.Equal([[4L]], undocumented.Counted);
        Assert.Contains(new UncountedCharacteristic(1, Uncounted.CouldHaveBeenAdded), undocumented.NotCounted);
        Assert.Equal([[1L], [4L]], Weigh(Input(His(4)) with { CustodyDocumentedFrom = Edtf.Parse("1970") }).Prepared().Counted);
        // In the same year nobody can say which came first.
        Assert.Equal([[4L]], Weigh(Input(His(4)) with { CustodyDocumentedFrom = Edtf.Parse("1972") }).Prepared().Counted);
    }

    [Fact]
    public void Copies_and_one_game_are_one_occasion()
    {
        var one = Source(1, 1, 2, 3, 1);
        var copies = new[] { one, one with { Id = 2, CopyOf = 1 }, one with { Id = 3, SameOccasion = 2 } };
        Assert.Equal(Weigh(Input([one])).Another().Weight, Weigh(Input(copies)).Another().Weight);
        Assert.Equal("1", Weigh(Input(copies)).Characteristics[0].Occasions);
    }

    [Fact]
    public void Posed_pictures_count_nothing_and_are_shown_at_the_stated_fraction_beside_none_and_all()
    {
        HabitSource[] withPosed = [.. His(4), .. Enumerable.Range(10, 6).Select(i => Source(i, 2, 1, 1, 2) with { Kind = ObservedIn.Posed })];
        var result = Weigh(Input(withPosed), new WeighingChoices(PosedFraction: DecimalText.Parse("0.25"))).Another();
        Assert.Equal(Weigh(Input(His(4))).Another().Weight, result.Weight);
        double[] posed = [.. result.Varied.Where(v => v.Choice.StartsWith("posed", StringComparison.Ordinal)).Select(v => DecimalText.Parse(v.Weight.Log10).ToDouble())];
        Assert.Equal(3, posed.Length);
        Assert.True(posed[0] > posed[1] && posed[1] > posed[2]);
    }

    [Fact]
    public void Words_in_letters_and_interviews_never_enter_the_number() => Assert.Equal(
        Weigh(Input(His(4))).Another().Weight, Weigh(Input([.. His(4), Source(9, 0, 0, 0, 0) with { Kind = ObservedIn.Narrative }])).Another().Weight);

    [Fact]
    public void Surviving_bats_join_pictures_only_where_loss_is_known()
    {
        HabitSource[] both = [.. His(4), Source(9, 0, 2, 3, 1) with { Kind = ObservedIn.SurvivingBat }];
        var apart = Weigh(Input(both)).Characteristics.Single(c => c.Members.SequenceEqual([1L]));
        Assert.Equal(("4", "4", "0", "1"), (apart.Shown, apart.Occasions, apart.BesideShown, apart.BesideOccasions));
        // The knob's shape cannot be lost, so its bats are counted.
        Assert.Equal("5", Weigh(Input(both)).Characteristics.Single(c => c.Members.SequenceEqual([4L])).Occasions);
        var joined = Weigh(Input(both), new WeighingChoices(LossFactors: new Dictionary<long, DecimalText> { [1] = DecimalText.Parse("0.25") }))
            .Characteristics.Single(c => c.Members.SequenceEqual([1L]));
        // Four pictures at 3/4, and the bat that has lost it.
        Assert.Equal(("3", "5"), (joined.Shown, joined.Occasions));
    }

    [Fact]
    public void A_fact_spent_on_dating_does_not_score_again()
    {
        var spent = Weigh(Input(His(4)), new WeighingChoices(Spent: [4])).Another();
        Assert.Contains(new UncountedCharacteristic(4, Uncounted.SpentOnDating), spent.NotCounted);
    }

    [Fact]
    public void A_file_without_occasions_weighs_exactly_one()
    {
        var pair = Weigh(Input([])).Another();
        Assert.Equal(new RatioRange("0.000", "0.000", "0.000"), pair.Weight);
        Assert.Equal("neither", pair.Wording.Word);
    }

    [Fact]
    public void After_a_search_the_page_says_best_of()
    {
        var result = Weigh(Input(His(9)) with { ProposedBy = ProposedBy.SearchOfFiles, FilesSearched = 31 });
        Assert.Equal(31, result.BestOf);
        Assert.Contains(result.Cautions, c => c.Code == "best-of" && c.Sentence.Contains("31", StringComparison.Ordinal));
    }

    [Fact]
    public void A_scale_of_ones_own_gives_its_own_words() => Assert.Equal(
        "decades-to-10000", Weigh(Input(His(9)), new WeighingChoices(Scale: VerbalScale.EndingAtTenThousand)).Another().Wording.ScaleId);
}
