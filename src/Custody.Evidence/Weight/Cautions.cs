using System.Globalization;

namespace Custody.Evidence.Weight;

/// <summary>What has to be said beside a weight.</summary>
static class Cautions
{
    // Fewer than these are called few. Common practice.
    const int FewOccasions = 5, FewPlayers = 20;

    internal static IReadOnlyList<Caution> Of(PreparedFiles files, BatCase bat, WeighingInput input, IReadOnlyList<PairWeight> pairs)
    {
        List<Caution> all =
        [
            new("not-a-probability", "The number says how much better one proposition explains these findings than the other; it is not how likely either is."),
            new("not-a-warranty", "An opinion is not a warranty of authorship, value or title; title and value questions belong to licensed practice and local law."),
            new("families-taken-as-independent", "Families of characteristics are multiplied as if independent of one another; within a family one counts."),
        ];
        if (input.ProposedBy == ProposedBy.SearchOfFiles)
            all.Add(new("best-of", $"The player was found by searching: this is the best of {Text(input.FilesSearched)} files, and a search finds some good fit by chance."));
        if (input.ProposedBy == ProposedBy.MarkingOnBat)
            all.Add(new("proposed-by-marking", "A marking on the bat proposed the player: that marking must not also count as evidence for him."));
        foreach (var pair in pairs) Weak(files, pair, all);
        if (bat.Findings.Values.Any(f => f.State == FoundState.Absent && files.Tallies.Loss(f.Characteristic) is null))
            all.Add(new("absence-may-be-loss", "Something looked for in vain may have been lost; no loss factor is stated, so it is counted as if seen in play."));
        if (files.His.Any(o => o.Kind == ObservedIn.SurvivingBat) && files.His.Any(o => o.Kind == ObservedIn.Play))
            all.Add(new("kinds-not-pooled", "Pictures of play and surviving bats are different kinds of observation; they are joined only where loss is known or stated."));
        if (SameDay(files))
            all.Add(new("same-day-not-linked", "Two sources of one day are counted as two occasions; if they show one game, link them."));
        if (bat.Findings.Values.Any(f => f.State == FoundState.NotAssessable))
            all.Add(new("not-assessable", "What could not be judged counts 1, neither for nor against."));
        return [.. all.DistinctBy(c => c.Code)];
    }

    static void Weak(PreparedFiles files, PairWeight pair, List<Caution> all)
    {
        var counted = pair.Counted.Select(m => files.Tallies.Of([.. m])).ToList();
        if (counted.Count == 0) all.Add(new("nothing-counted", "Nothing could be counted against one of the alternatives: its number is 1."));
        if (counted.Any(c => c.Occasions < FewOccasions))
            all.Add(new("few-occasions", $"A characteristic that counts was seen on fewer than {Text(FewOccasions)} occasions of his."));
        if (counted.Any(c => c.Players < FewPlayers))
            all.Add(new("few-players", $"A characteristic that counts is compared with fewer than {Text(FewPlayers)} other players."));
        if (counted.Any(c => c.Likeness.From == LikenessFrom.StatedDefault))
            all.Add(new("likeness-stated", "How alike one hitter is to himself could not be estimated from the comparison file; a stated default stands for it."));
        if (pair.WithoutSource.Concat(pair.WithoutCharacteristic).Any(w => w.CarriesTheConclusion))
            all.Add(new("sole-support", "One source or characteristic carries a conclusion: without it nothing is supported."));
        if (pair.NotCounted.Any(u => u.Why == Uncounted.CouldHaveBeenAdded))
            all.Add(new("could-be-added", "Some characteristics can be added later and are not counted against later preparation, because custody is not documented from before they were published."));
    }

    static bool SameDay(PreparedFiles files) => files.His.Where(o => o.Kind == ObservedIn.Play && o.When is { } w && IsOneDay(w))
        .GroupBy(o => o.When!.StartLo).Any(g => g.Count() > 1);

    static bool IsOneDay(Edtf when) => when.EarliestStart.IsDay && when.StartLo == when.EndHi;

    static string Text(int number) => number.ToString(CultureInfo.InvariantCulture);
}
