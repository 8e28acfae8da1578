using System.Diagnostics;

namespace Custody.Evidence.Tests.Dates;

public class EdtfFuzzTests
{
    const string Letters = "0123456789-/.,:+?~%[]{}XYESTZux()P W\0é１\uD800";

    [Fact]
    public void Mutated_examples_are_read_with_ordered_bounds_or_refused_by_name_and_nothing_else()
    {
        Try(new Random(20190204), (cases, _) => cases < 40_000, read => Assert.InRange(read, 1_000, 39_000));
        // Then others for a while, new on every run; what fails is told.
        Try(new Random(), (_, clock) => clock.Elapsed < TimeSpan.FromSeconds(1), _ => { });
    }

    static void Try(Random random, Func<int, Stopwatch, bool> more, Action<int> judge)
    {
        var clock = Stopwatch.StartNew();
        var seeds = EdtfSpecificationTests.Lines.Select(l => ((string)l).Split(' ', StringSplitOptions.RemoveEmptyEntries)[1]).ToArray();
        var read = 0;
        for (var i = 0; more(i, clock); i++)
        {
            var text = Mutated(seeds[random.Next(seeds.Length)], random);
            if (Edtf.TryParse(text, out var value, out var refusal))
                read += Sound(value, text) ? 1 : throw new InvalidOperationException($"unsound: {text}");
            else
                Assert.True(refusal.Code.StartsWith("edtf-", StringComparison.Ordinal), $"{text}: {refusal.Code}");
        }
        judge(read);
    }

    static bool Sound(Edtf value, string text)
    {
        var days = new[] { value.EarliestStart, value.LatestStart, value.EarliestEnd, value.LatestEnd };
        _ = string.Concat(days);
        bool Ordered(int a, int b) => !days[a].IsDay || !days[b].IsDay || days[a].Day <= days[b].Day;
        return value.Text == text && Ordered(0, 1) && Ordered(2, 3) && Ordered(0, 2) && Ordered(1, 3)
            && Precedence.Between(value, value).EndsBefore != Certainty.Certain;
    }

    static string Mutated(string seed, Random random)
    {
        var text = seed.ToList();
        for (var n = random.Next(1, 4); n > 0; n--)
        {
            var at = random.Next(text.Count + 1);
            var letter = Letters[random.Next(Letters.Length)];
            switch (random.Next(4))
            {
                case 0: text.Insert(at, letter); break;
                case 1 when at < text.Count: text.RemoveAt(at); break;
                case 2 when at < text.Count: text[at] = letter; break;
                default: text.InsertRange(at, text.Skip(random.Next(text.Count + 1)).Take(random.Next(6)).ToList()); break;
            }
        }
        return new string([.. text]);
    }
}
