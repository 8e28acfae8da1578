namespace Custody.Bats;

/// <summary>What an opinion of this house must keep to; apart from its fact because there are several rules.</summary>
static class OpinionRules
{
    internal static IEnumerable<Refusal> Giver(IGivenOpinion opinion, Alias? by)
    {
        if (opinion.Examiners.Count == 0 || opinion.Examiners.Distinct().Count() != opinion.Examiners.Count)
            yield return new("examiners-not-named", "No examiner stands behind the opinion, or one stands twice.", "Name each examiner once.");
        if (by != opinion.House && !opinion.Examiners.Any(e => e == by))
            yield return new("not-the-giver", "An opinion is recorded by its examiner or its house.", "Have the examiner record it.");
    }

    internal static IEnumerable<Refusal> Grounds(IGivenOpinion opinion, Bat bat, ICited cited)
    {
        if (Examined(opinion, bat) is { } examined) yield return examined;
        if (Sources.Refuse(bat, opinion.Sources) is { } source) yield return source;
        if (Bats.Grounds.Refuse(bat, bat.Photographs.ByEntry, opinion.Photographs, "photograph") is { } photograph) yield return photograph;
        if (PictureComparisons.RefuseUnfinished(bat, opinion.Comparisons) is { } comparison) yield return comparison;
        if (Bats.Grounds.Refuse(bat, bat.Treatments.ByEntry, opinion.Treatments, "treatment") is { } treatment) yield return treatment;
        if (Bats.Grounds.Refuse<CountsVersioned>(cited, opinion.HabitFile, "version of a habit file") is { } habits) yield return habits;
        if (Bats.Grounds.Refuse<ComparisonCountsVersioned>(cited, opinion.ComparisonFile, "version of a comparison file") is { } file)
            yield return file;
    }

    /// <summary>Rule 4: at least one closed examination of the house itself; none that is open, given up or void.</summary>
    static Refusal? Examined(IGivenOpinion opinion, Bat bat)
    {
        if (Bats.Grounds.Refuse(bat, bat.Examinations.ByEntry, opinion.Examinations, "examination") is { } refused) return refused;
        var examinations = opinion.Examinations.Select(n => bat.Examinations.ByEntry[n]).ToList();
        if (examinations.Any(e => !e.Counts(bat.Corrections)) || !examinations.Any(e => e.House == opinion.House))
            return new("no-closed-examination", "The opinion does not rest on a closed examination of this house, or rests on one still open.",
                "Close an examination with its findings locked, then give the opinion.");
        return null;
    }

    internal static IEnumerable<Refusal> Terms(IGivenOpinion opinion, Bat bat)
    {
        if (opinion.Fee == FeeTerms.NotStated || opinion.Interests.Contains(DeclaredInterest.NotStated))
            yield return new("terms-not-stated", "Who paid on what terms, or the examiner's interest, is not stated.", "State both; none is an answer.");
        if ((opinion.Fee == FeeTerms.NoFee) != (opinion.PaidBy is null))
            yield return new("payer-not-named", "A fee has no payer, or a payer no fee.", "Name who paid, or say that there was no fee.");
        if (opinion.Player is null && opinion.Pairs.Any(w => w.Level is PropositionLevel.OrderedForHim or PropositionLevel.UsedByHim))
            yield return new("player-not-named", "A proposition speaks of a player who is not named.", "Name the player.");
        if (Bats.Grounds.Refuse(bat, bat.Opinions.ByEntry, opinion.Supersedes, "opinion") is { } missing) yield return missing;
        else if (opinion.Supersedes.Any(n => bat.Opinions.ByEntry[n].House != opinion.House))
            yield return new("supersedes-another-house", "An opinion takes the place of its own house's only.",
                "Let the other opinion stand beside it.");
    }

    internal static IEnumerable<Refusal> InOrder(IReadOnlyList<SeasonRun> seasons)
    {
        if (!SeasonRun.AreProper(seasons))
            yield return new("seasons-out-of-order", "The seasons are not years in order.", "Give runs of seasons, first to last.");
    }

    internal static IEnumerable<Refusal> Graded(IGivenOpinion opinion, Bat bat, ICited cited)
    {
        if (Bats.Grounds.Refuse<RubricPublished>(cited, opinion.Rubric, "rubric") is { } missing)
        {
            yield return missing;
            yield break;
        }
        if ((opinion.Grade is null) != (opinion.Rubric is null))
            yield return new("grade-without-rubric", "A grade names no rubric, or a rubric grades nothing.", "Give both, or words only.");
        var departures = opinion.Departures.Values;
        if (departures.DistinctBy(d => d.Axis).Count() != departures.Count || (opinion.Grade is null && departures.Count > 0))
            yield return new("departure-of-nothing", "A departure has no grade to depart from, or stands twice.",
                "State one departure for each part of the grade.");
        if (opinion.Grade is not { } grade || opinion.Rubric is null) yield break;
        if ((grade.For == SupportFor.Neither) != (grade.Support == SupportWord.Neither))
            yield return new("support-without-direction", "A word of support names no side, or the other way round.", "Say for which proposition.");
        // Rule 4: what pictures can carry is the rubric's to say, and no departure lifts it.
        if (FromPicturesOnly(opinion, bat) && !((RubricPublished)cited.Find(opinion.Rubric)!.Fact).FromPicturesOnly.Allows(grade))
            yield return new("pictures-only-limit", "From pictures only, the rubric does not carry this grade.",
                "Grade no higher than the rubric allows, or examine the bat.");
    }

    /// <summary>True when every examination it rests on saw pictures only. False also when an examination is not there.</summary>
    internal static bool FromPicturesOnly(IGivenOpinion opinion, Bat bat) =>
        opinion.Examinations.All(n => bat.Examinations.ByEntry.TryGetValue(n, out var e) && e.From == ExaminedFrom.PicturesOnly);
}
