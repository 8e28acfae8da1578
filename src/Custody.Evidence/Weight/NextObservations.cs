namespace Custody.Evidence.Weight;

/// <summary>What next observation would change the word of the conclusion, and by how much.</summary>
static class NextObservations
{
    /// <summary>How many like observations are tried before it is said that they do not change the word.</summary>
    const int MostTimes = 20;

    /// <summary>Those that change the word come first, by how few are needed; then by how far they move the number. What moves nothing is left out.</summary>
    internal static IReadOnlyList<NextObservation> Ranked(Present present) =>
    [
        .. OfOccasions(present).Concat(OfFindings(present)).Concat(OfCustody(present)).Where(n => n.Weight != present.Weight.Kept())
            .OrderBy(n => n.TimesToChangeWord ?? int.MaxValue).ThenByDescending(n => Math.Abs(DecimalText.Parse(n.Difference).ToDouble()))
            .ThenBy(n => n.Characteristic ?? 0).ThenBy(n => n.Kind),
    ];

    static IEnumerable<NextObservation> OfOccasions(Present present)
    {
        foreach (var piece in present.Pieces)
        {
            var a = piece.Counts.Likeness.A.ToDouble();
            var again = (piece.Counts.His[piece.Value] + a * piece.Counts.Frequency(piece.Value)) / (piece.Counts.Occasions + a);
            yield return After(present, piece, NextKind.OccasionWithTheValue, 1, again);
            yield return After(present, piece, NextKind.OccasionWithAnotherValue, 0, 1 - again);
        }
    }

    static NextObservation After(Present present, Piece piece, NextKind kind, int shown, double chance)
    {
        var next = More(1);
        return Of(present, kind, piece.Counts.Members[0], piece.Value, next, FewestTimes(n => present.IsOther(More(n).Words(present.Scale))), chance);

        Sized More(int n) => present.Combining.Of(present.Pieces, Change.None, p => p == piece
            ? (p.Counts.His[p.Value] + n * shown, p.Counts.Occasions + n)
            : (p.Counts.His[p.Value], p.Counts.Occasions));
    }

    // The more of the same, the further the number goes one way: the fewest are found between the last that do not do and the first that do.
    static int? FewestTimes(Func<int, bool> changes)
    {
        var (not, does) = (0, 1);
        for (; !changes(does); does = Math.Min(2 * does, MostTimes))
        {
            if (does == MostTimes) return null;
            not = does;
        }
        while (does - not > 1)
        {
            var between = (not + does) / 2;
            if (changes(between)) does = between;
            else not = between;
        }
        return does;
    }

    static IEnumerable<NextObservation> OfFindings(Present present)
    {
        foreach (var characteristic in present.Files.Order)
        {
            var why = present.Bat.Why(characteristic.Id, present.Against);
            if (why is not (Uncounted.NotAssessable or Uncounted.NotLookedFor or Uncounted.ValueNotSaid)) continue;
            var counts = present.Files.Tallies.Of(characteristic.Id);
            if (counts.Players == 0 || counts.Occasions == 0) continue;
            var usual = Enumerable.Range(0, counts.Classes).MaxBy(v => counts.His[v]);
            foreach (var (kind, value) in new[] { (NextKind.FindingOfHisUsualValue, usual), (NextKind.FindingOfAbsence, 0) }.DistinctBy(n => n.Item2))
            {
                // What was seen is not absent.
                if (value == 0 && why == Uncounted.ValueNotSaid) continue;
                var found = new BatFinding(characteristic.Id, value == 0 ? FoundState.Absent : FoundState.Seen, value);
                var weight = present.Combining.Of(present.Bat.With(found).Counted(present.Against), Change.None);
                var a = counts.Likeness.A.ToDouble();
                var chance = (counts.His[value] + a * counts.Frequency(value)) / (counts.Occasions + a);
                yield return Of(present, kind, characteristic.Id, value, weight, present.IsOther(weight.Words(present.Scale)) ? 1 : null, chance);
            }
        }
    }

    static IEnumerable<NextObservation> OfCustody(Present present)
    {
        var first = present.Files.Order.Where(c => c.PublishedSince is { StartUnknown: false })
            .Where(c => present.Bat.Why(c.Id, present.Against) == Uncounted.CouldHaveBeenAdded).Select(c => c.PublishedSince!).MinBy(p => p.StartLo);
        if (first is null || first.StartLo == Alternative.Past) yield break;
        var before = Edtf.Parse(new Day(first.StartLo - 1).ToString());
        var weight = present.Combining.Of(present.Bat.WithCustody(before).Counted(present.Against), Change.None);
        yield return Of(present, NextKind.CustodyDocumented, null, null, weight, present.IsOther(weight.Words(present.Scale)) ? 1 : null, null);
    }

    static NextObservation Of(Present present, NextKind kind, long? characteristic, int? value, Sized weight, int? times, double? chance)
    {
        var words = weight.Words(present.Scale);
        return new NextObservation(
            kind, characteristic, value, weight.Kept(), present.Difference(weight), words, present.IsOther(words), times,
            chance is { } c ? DecimalText.Computed(c, 2).Text : null);
    }
}
