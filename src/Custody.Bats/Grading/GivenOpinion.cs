using System.Collections.Immutable;
using Custody.Evidence;

namespace Custody.Bats;

/// <summary>What every opinion given here says, in whichever shape it was recorded.</summary>
public interface IGivenOpinion
{
    Alias House { get; }
    IReadOnlyList<Alias> Examiners { get; }
    Alias? Player { get; }
    IReadOnlyList<Weighing> Pairs { get; }
    Grade? Grade { get; }
    Reference? Rubric { get; }
    Keyed<Departure> Departures { get; }
    IReadOnlyList<long> Examinations { get; }
    IReadOnlyList<long> Sources { get; }
    IReadOnlyList<long> Photographs { get; }
    IReadOnlyList<long> Comparisons { get; }
    IReadOnlyList<long> Treatments { get; }
    Reference? HabitFile { get; }
    Reference? ComparisonFile { get; }
    IReadOnlyList<long> Supersedes { get; }
    Alias AskedBy { get; }
    Alias? PaidBy { get; }
    FeeTerms Fee { get; }
    IReadOnlyList<DeclaredInterest> Interests { get; }
    Withheld<string>? Statement { get; }
}

/// <summary>What an opinion says besides that carries computed numbers, in whichever shape it was recorded.</summary>
public interface IComputedOpinion : IGivenOpinion
{
    WeightInputs? Inputs { get; }
    SeasonsFound? Seasons { get; }
    GradeGiven? Graded { get; }

    /// <summary>Null where the opinion rests on no usual zone, or its shape knew none.</summary>
    ZonesFound? Zones { get; }

    /// <summary>Lists of where the bat could have been; empty where it rests on none, or its shape knew none.</summary>
    IReadOnlyList<PlacesFound> Places { get; }
}

/// <summary>What the fold keeps of an opinion given here.</summary>
static class GivenOpinions
{
    internal static Bat Add(this Bat bat, Entry entry, IGivenOpinion given, IEnumerable<long> restsOn) => bat with
    {
        Opinions = bat.Opinions.Add(entry.N, new Opinion(
            OpinionOrigin.Given, given.House, Day.Of(DateOnly.FromDateTime(entry.Envelope.Recorded.UtcDateTime)).Number, given.Fee, given.Grade,
            OpinionRules.FromPicturesOnly(given, bat), Withdrawn: null)
        {
            Examiners = [.. given.Examiners],
            Interests = [.. given.Interests],
            Pairs = [.. given.Pairs.Select(w => new PairInWords(w.Level, w.Against, w.For, w.Word))],
            Departures = [.. given.Departures.Values.Select(d => d.Axis)],
            RestsOn = [.. restsOn],
            Files = [.. new[] { given.HabitFile, given.ComparisonFile }.OfType<Reference>()],
            Supersedes = [.. given.Supersedes],
        }),
    };
}
