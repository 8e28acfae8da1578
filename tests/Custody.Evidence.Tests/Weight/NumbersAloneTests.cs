using Custody.Evidence.Weight;

namespace Custody.Evidence.Tests.Weight;

public class NumbersAloneTests
{
    [Fact]
    public void The_numbers_alone_are_those_of_the_whole_weighing()
    {
        foreach (var occasions in Enumerable.Range(0, 12))
        {
            var input = Files.Input(Files.His(occasions));
            Assert.True(PreparedFiles.TryPrepare(input.Order, input.Habits, input.Comparison, new WeighingChoices(), out var files, out _));
            Assert.True(Weigher.TryNumbers(files, input, out var numbers, out _));
            Assert.Equal(Files.Weigh(input).Pairs.Select(p => (p.Pair, p.Weight)), numbers.Select(n => (n.Pair, n.Weight)));
        }
    }

    [Fact]
    public void What_the_whole_weighing_refuses_the_numbers_alone_refuse()
    {
        var input = Files.Input(Files.His(3));
        Assert.True(PreparedFiles.TryPrepare(input.Order, input.Habits, input.Comparison, new WeighingChoices(), out var files, out _));
        foreach (var wrong in new[]
        {
            input with { Pairs = [] }, input with { Findings = [new(99, FoundState.Seen, 1)] }, input with { FilesSearched = 3 },
            input with { Findings = [new(1, FoundState.Seen, 1), new(1, FoundState.Absent)] },
        })
        {
            Assert.False(Weigher.TryNumbers(files, wrong, out _, out var refusal));
            Assert.Equal(Files.Refused(wrong), refusal.Code);
        }
    }
}
