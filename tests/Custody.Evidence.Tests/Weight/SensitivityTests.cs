using Custody.Evidence.Weight;
using static Custody.Evidence.Tests.Weight.Files;

namespace Custody.Evidence.Tests.Weight;

public class SensitivityTests
{
    [Fact]
    public void Without_a_source_is_what_weighing_without_it_gives()
    {
        HabitSource[] his = [.. His(3), Source(8, 0, 0, 1, 2)];
        var pair = Weigh(Input(his)).Another();
        Assert.Equal(4, pair.WithoutSource.Count);
        foreach (var without in pair.WithoutSource)
            Assert.Equal(Weigh(Input([.. his.Where(s => s.Id != without.Number)])).Another().Weight, without.Weight);
    }

    [Fact]
    public void Without_a_characteristic_the_next_of_its_family_takes_its_place()
    {
        var pair = Weigh(Input(His(4))).Another();
        BatFinding[] less = [new(1, FoundState.NotAssessable), .. Like[1..]];
        Assert.Equal(Weigh(Input(His(4), less)).Another().Weight, pair.WithoutCharacteristic.Single(w => w.Number == 1).Weight);
    }

    [Fact]
    public void One_support_that_carries_the_conclusion_is_flagged()
    {
        HabitSource[] his = [.. Enumerable.Range(1, 12).Select(i => Only(i, 4, 1))];
        HabitSource[] others = [.. Comparison.Select(s => s with { Seen = new Dictionary<long, int> { [4] = s.Player == 1 ? 1 : 2 } })];
        var result = Weigh(Input(his) with { Comparison = others });
        Assert.Equal(Direction.Proposition, result.Another().Wording.For);
        Assert.True(result.Another().WithoutCharacteristic.Single().CarriesTheConclusion);
        Assert.DoesNotContain(result.Another().WithoutSource, w => w.CarriesTheConclusion);
        Assert.Contains(result.Cautions, c => c.Code == "sole-support");
    }

    [Fact]
    public void The_number_is_shown_at_half_and_twice_A()
    {
        var varied = Weigh(Input(His(4))).Another().Varied;
        double[] logs = [.. varied.Take(2).Select(v => DecimalText.Parse(v.Weight.Log10).ToDouble())];
        Assert.Equal(["A x 0.5", "A x 2"], varied.Take(2).Select(v => v.Choice));
        // The more alike to himself, the more an agreement says.
        Assert.True(logs[0] > logs[1]);
    }

    [Fact]
    public void Next_observations_are_those_that_weighing_them_gives_and_those_that_change_the_word_come_first()
    {
        var pair = Weigh(Input(His(2))).Another();
        var ranks = pair.Next.Select(n => n.TimesToChangeWord ?? int.MaxValue).ToList();
        Assert.Equal(ranks.Order(), ranks);
        var next = pair.Next.Single(n => n is { Kind: NextKind.OccasionWithTheValue, Characteristic: 4 });
        Assert.Equal(Weigh(Input([.. His(2), Only(9, 4, 1)])).Another().Weight, next.Weight);
        var times = pair.Next.First(n => n.TimesToChangeWord > 1);
        var value = times.Kind == NextKind.OccasionWithTheValue ? times.Value!.Value : times.Value == 1 ? 2 : 1;
        PairWeight After(int n) => Weigh(Input([.. His(2), .. Enumerable.Range(50, n).Select(i => Only(i, times.Characteristic!.Value, value))])).Another();
        Assert.NotEqual(pair.Wording, After(times.TimesToChangeWord!.Value).Wording);
        Assert.Equal(pair.Wording, After(times.TimesToChangeWord!.Value - 1).Wording);
    }

    [Fact]
    public void What_documented_custody_would_do_is_among_the_next_observations()
    {
        var pair = Weigh(Input(His(4))).Prepared();
        var next = pair.Next.Single(n => n.Kind == NextKind.CustodyDocumented);
        Assert.Equal(Weigh(Input(His(4)) with { CustodyDocumentedFrom = Edtf.Parse("1971-12-31") }).Prepared().Weight, next.Weight);
    }

    [Fact]
    public void A_readers_prior_becomes_what_the_number_makes_of_it()
    {
        var pair = Weigh(Input(His(9))).Another();
        var even = pair.Priors.Single(p => p.Prior == "1:1");
        Assert.Equal([pair.Weight.Low, pair.Weight.Log10, pair.Weight.High], even.PosteriorLog10);
        var odds = Math.Pow(10, pair.Log());
        Assert.Equal(DecimalText.Computed(odds / (1 + odds), 4).Text, even.Probability[1]);
    }
}
