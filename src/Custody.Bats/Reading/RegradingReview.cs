namespace Custody.Bats;

/// <summary>Everything an examiner needs before regrading, in one answer.</summary>
/// <param name="Opinions">All prior opinions side by side: what each rested on, what has come since, and the order in which its examiner saw things.</param>
/// <param name="Agreement">Every two examinations compared finding by finding.</param>
/// <param name="Openings">Examinations that are open now, and whether reading this is still against their order.</param>
public sealed record RegradingReview(
    string Stream, long N, IReadOnlyList<OpinionRead> Opinions, bool HousesDisagree, IReadOnlyList<ExaminationsCompared> Agreement,
    IReadOnlyList<OpenAndBlind> Openings, IReadOnlyList<string> Cautions)
{
    internal static RegradingReview Read(Reading reading)
    {
        var history = reading.Opinions();
        OpenAndBlind[] open = [.. reading.State.Examinations.ByEntry.Keys.Select(reading.Blind).OfType<BlindView>().Where(b => b.Open && b.Blinding == Blinding.FixedOrder)
            .Select(b => new OpenAndBlind(b.Examination, reading.Who(reading.State.Examinations.ByEntry[b.Examination].Examiner), b.Locked, b.HeldBack.Count))];
        return new RegradingReview(
            reading.State.Id, reading.State.N, history.Opinions, history.HousesDisagree, ExaminationsCompared.All(reading), open, [.. Said(history, open)]);
    }

    static IEnumerable<string> Said(OpinionHistory history, OpenAndBlind[] open)
    {
        if (open.Length > 0)
            yield return "An examination in fixed order is open: whoever is examining reads this after the findings are locked and the opinions are unmasked, or says that it was seen by accident.";
        else yield return "Whoever means to look at the bat again without these opinions in mind opens an examination and locks the findings first.";
        yield return "What two examinations found differently may have changed on the bat between them, or may be two people's eyes: the record does not say which.";
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
