using Custody.Evidence.Weight;
using static Custody.Evidence.Tests.Weight.Files;

namespace Custody.Evidence.Tests.Weight;

public class RefusalTests
{
    [Fact]
    public void An_empty_comparison_file_is_an_error_and_not_a_one() => Assert.Equal("comparison-file-empty", Refused(Input(His(3)) with { Comparison = [] }));

    [Fact]
    public void Propositions_come_in_pairs_with_both_alternatives()
    {
        var input = Input(His(3));
        Assert.Equal("propositions-missing", Refused(input with { Pairs = [] }));
        Assert.Equal("alternative-missing", Refused(input with { Pairs = [WeighingInput.UsualPairs[0]] }));
        Assert.Equal("pair-weighed-twice", Refused(input with { Pairs = [.. WeighingInput.UsualPairs, WeighingInput.UsualPairs[0]] }));
        Assert.Equal("level-not-weighed-by-habits",
            Refused(input with { Pairs = [.. WeighingInput.UsualPairs, new(ProposedLevel.MadeForProfessionalUse, WeighedAgainst.PreparedLater)] }));
    }

    [Fact]
    public void Contradictory_findings_are_refused_and_repeated_ones_are_not()
    {
        Assert.Equal("findings-contradict", Refused(Input(His(3), [.. Like, new(1, FoundState.Absent)])));
        Assert.Equal("", Refused(Input(His(3), [.. Like, Like[0]])));
    }

    [Theory]
    [InlineData(99, 1, "unknown-characteristic")]
    [InlineData(1, 4, "value-unknown")]
    [InlineData(1, 0, "value-unknown")]
    [InlineData(1, -1, "value-unknown")]
    public void A_finding_names_a_characteristic_and_value_of_the_file(long characteristic, int value, string code) =>
        Assert.Equal(code, Refused(Input(His(3), [new BatFinding(characteristic, FoundState.Seen, value)])));

    [Fact]
    public void Sources_name_characteristics_and_values_of_the_file_and_are_numbered_once()
    {
        Assert.Equal("unknown-characteristic", Refused(Input([Only(1, 77, 1)])));
        Assert.Equal("value-unknown", Refused(Input([Only(1, 4, 3)])));
        Assert.Equal("source-twice", Refused(Input([Only(1, 4, 1), Only(1, 4, 1)])));
        Assert.Equal("characteristic-twice", Refused(Input(His(1)) with { Order = [.. Order, Tape] }));
        Assert.Equal("characteristic-values", Refused(Input(His(1)) with { Order = [.. Order, new(5, "use", 0)] }));
    }

    [Fact]
    public void Choices_out_of_range_are_refused()
    {
        Assert.Equal("posed-fraction", Refused(Input(His(1)), new WeighingChoices(PosedFraction: DecimalText.Parse("1.1"))));
        Assert.Equal("likeness-not-positive", Refused(Input(His(1)), new WeighingChoices(LikenessDefault: DecimalText.Parse("0"))));
        Assert.Equal("basis-not-counted", Refused(Input(His(1)), new WeighingChoices(Basis: ObservedIn.Posed)));
        Assert.Equal("loss-factor", Refused(Input(His(1)), new WeighingChoices(LossFactors: new Dictionary<long, DecimalText> { [1] = DecimalText.Parse("1") })));
        Assert.Equal("unknown-characteristic", Refused(Input(His(1)), new WeighingChoices(Spent: [12])));
        Assert.Equal("files-searched", Refused(Input(His(1)) with { FilesSearched = 3 }));
        Assert.Equal("files-searched", Refused(Input(His(1)) with { ProposedBy = ProposedBy.SearchOfFiles }));
    }
}
