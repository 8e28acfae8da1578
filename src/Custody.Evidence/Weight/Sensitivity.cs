namespace Custody.Evidence.Weight;

/// <summary>What a number rests on: the same number without each source, without each characteristic, and under other choices.</summary>
static class Sensitivity
{
    /// <summary>At half and twice A, and with posed pictures at 0, the stated fraction and 1 (a power prior, Ibrahim and Chen 2000). None picks the word.</summary>
    internal static IReadOnlyList<Varied> Varied(Present present)
    {
        var stated = present.Files.Choices.PosedFraction ?? DecimalText.Zero;
        List<(string, Change)> choices = [("A x 0.5", new(0.5, 0)), ("A x 2", new(2, 0)), ("posed x 0", new(1, 0))];
        if (stated.Sign > 0 && stated < PreparedFiles.One) choices.Add(($"posed x {stated}", new(1, stated.ToDouble())));
        choices.Add(("posed x 1", new(1, 1)));
        return [.. choices.Select(c => Of(c.Item1, present.Combining.Of(present.Pieces, c.Item2)))];

        Varied Of(string choice, Sized weight)
        {
            var words = weight.Words(present.Scale);
            return new Varied(choice, weight.Kept(), words, present.IsOther(words));
        }
    }

    /// <summary>Without each independent source, under its first entry's number: copies fall with it. Those that change nothing are left out.</summary>
    internal static IReadOnlyList<Without> WithoutSource(Present present)
    {
        List<Without> all = [];
        foreach (var occasion in present.Files.His)
        {
            var added = present.Pieces.ToDictionary(p => p, p => present.Files.Tallies.Added(occasion, p.Counts.Members, p.Counts.Classes));
            if (added.Values.All(a => a is null)) continue;
            all.Add(Of(present, occasion.Root, present.Combining.Of(present.Pieces, Change.None,
                p => added[p] is { } a ? (Left(p.Counts.His[p.Value] - a[p.Value]), Left(p.Counts.Occasions - a.Sum())) : (p.Counts.His[p.Value], p.Counts.Occasions))));
        }
        return all;
    }

    /// <summary>Without each characteristic that counts: the next of its family takes its place.</summary>
    internal static IReadOnlyList<Without> WithoutCharacteristic(Present present) =>
    [
        .. present.Pieces.SelectMany(p => p.Counts.Members).Select(id => Of(present, id, present.Combining.Of(
            present.Bat.With(new BatFinding(id, FoundState.NotAssessable)).Counted(present.Against), Change.None))),
    ];

    static Without Of(Present present, long number, Sized weight)
    {
        var words = weight.Words(present.Scale);
        return new Without(number, weight.Kept(), present.Difference(weight), words, present.IsOther(words),
            present.Words.For != Direction.Neither && words.For != present.Words.For);
    }

    // Fractions of loss factors leave dust behind when everything is taken away.
    static double Left(double count) => count < 1e-9 ? 0 : count;
}
