namespace Custody.Bats;

/// <summary>Everything an examiner needs before regrading, in one answer.</summary>
/// <param name="Opinions">All prior opinions side by side: what each rested on, what has come since, and the order in which its examiner saw things.</param>
/// <param name="Recomputed">Each opinion given here, computed again: as recorded, under today's files with the causes in order, and which next observation
/// would change the word, by how much.</param>
/// <param name="Agreement">Every two examinations compared finding by finding.</param>
/// <param name="Openings">Examinations that are open now, and whether reading this is still against their order.</param>
public sealed record RegradingReview(
    string Stream, long N, IReadOnlyList<OpinionRead> Opinions, bool HousesDisagree, IReadOnlyList<OpinionRecomputed> Recomputed,
    IReadOnlyList<ExaminationsCompared> Agreement, IReadOnlyList<OpenAndBlind> Openings, IReadOnlyList<string> Cautions)
{
    internal static RegradingReview Read(Reading reading, CitedStreams streams)
    {
        var history = reading.Opinions();
        OpenAndBlind[] open = [.. reading.State.Examinations.ByEntry.Keys.Select(reading.Blind).OfType<BlindView>().Where(b => b.Open && b.Blinding == Blinding.FixedOrder)
            .Select(b => new OpenAndBlind(b.Examination, reading.Who(reading.State.Examinations.ByEntry[b.Examination].Examiner), b.Locked, b.HeldBack.Count))];
        var entries = reading.History;
        OpinionRecomputed[] again = [.. history.Opinions.Where(o => o.Standing != EntryStanding.Void).Select(o => OpinionRecomputed.Of(entries, o.Entry, streams, today: true)).OfType<OpinionRecomputed>()];
        return new RegradingReview(
            reading.State.Id, reading.State.N, history.Opinions, history.HousesDisagree, again, ExaminationsCompared.All(reading), open, [.. Said(history, again, open)]);
    }

    static IEnumerable<string> Said(OpinionHistory history, OpinionRecomputed[] again, OpenAndBlind[] open)
    {
        if (open.Length > 0)
            yield return "An examination in fixed order is open: whoever is examining reads this after the findings are locked and the opinions are unmasked, or says that it was seen by accident.";
        else yield return "Whoever means to look at the bat again without these opinions in mind opens an examination and locks the findings first.";
        yield return "What two examinations found differently may have changed on the bat between them, or may be two people's eyes: the record does not say which.";
        if (history.Opinions.Count > 0 && !again.Any(r => r.Today is { Next.Count: > 0 }))
            yield return "No opinion here was weighed by computation, so nothing can be said about which next observation would change its word.";
        if (history.Opinions.Any(o => o.Interests.Any(i => i != DeclaredInterest.NotStated)))
            yield return "Some of these opinions were given with a declared interest in the outcome; it stands beside each.";
        if (history.Opinions.Any(o => o.Interests.Contains(DeclaredInterest.NotStated) || o.Fee == FeeTerms.NotStated))
            yield return "Of some opinions it is not told who paid, or what interest the giver had.";
        yield return Warranty.Text;
    }
}

/// <summary>An open examination in fixed order.</summary>
/// <param name="HeldBack">How many entries are still held back from it.</param>
public sealed record OpenAndBlind(long Examination, Who Examiner, bool Locked, int HeldBack);
