using Custody.Evidence;

namespace Custody.Bats;

/// <summary>How an entry stands now.</summary>
public enum EntryStanding
{
    Stands,
    Corrected,
    Withdrawn,
    Void,
}

/// <summary>Something an opinion rested on, and how it stands now.</summary>
public sealed record Ground(long Entry, string Type, EntryStanding Standing);

/// <summary>What happened to the bat or its record after an opinion was given.</summary>
public enum SinceKind
{
    SourceAdded,
    Examined,
    Compared,
    Treated,
    Incident,
    IdentityQuestioned,
    Corrected,
    Withdrawn,
    OtherOpinion,
    Reply,
}

/// <summary>One such entry.</summary>
/// <param name="UnderIt">It fell, or made fall, something the opinion rested on, or the opinion itself.</param>
public sealed record SinceThen(long Entry, string Type, SinceKind Kind, bool UnderIt);

/// <summary>One opinion with what it rested on and what came after.</summary>
/// <param name="IsPresent">It is its house's present opinion (rule 5).</param>
/// <param name="WithdrawnBy">Entry that withdrew it.</param>
/// <param name="IsOpenWork">Something under it fell, and nobody has confirmed, restated or withdrawn it yet.</param>
/// <param name="Statement">Null when not shown.</param>
/// <param name="RevisedBy">Later opinions of the same house that take its place.</param>
/// <param name="OpposedBy">Later opinions of other houses that stand and take the opposite side.</param>
/// <param name="Graded">What the rubric gave beside what the examiner gave; null where the opinion does not keep both.</param>
/// <param name="Inputs">What computed weights rest on besides the two files.</param>
/// <param name="Examined">The examinations it rests on: their order, and what it did to the findings.</param>
/// <param name="Zones">How placed findings met the usual zones of the habit file; null where it rests on none.</param>
/// <param name="Places">How layers fitted the lists of places that it rests on.</param>
public sealed record OpinionRead(
    long Entry, OpinionOrigin Origin, Who House, IReadOnlyList<Who> Examiners, DateTimeOffset Recorded, Edtf? Occurred, bool IsPresent,
    EntryStanding Standing, long? WithdrawnBy, bool IsOpenWork, IReadOnlyList<PairInWords> Pairs, IReadOnlyList<Weighing> Weighings,
    PropositionLevel? Level, ReportedConclusion? Conclusion, Grade? Grade, bool PicturesOnly, Reference? Rubric, Reference? HabitFile,
    Reference? ComparisonFile, FeeTerms Fee, IReadOnlyList<DeclaredInterest> Interests, IReadOnlyList<GradeAxis> Departures,
    IReadOnlyList<Ground> RestedOn, IReadOnlyList<long> Supersedes, IReadOnlyList<long> Replies, string? Statement, IReadOnlyList<SinceThen> Since,
    IReadOnlyList<long> RevisedBy, IReadOnlyList<long> OpposedBy, SeasonsFound? Seasons, GradeGiven? Graded, WeightInputs? Inputs,
    IReadOnlyList<ExaminationOrder> Examined, ZonesFound? Zones, IReadOnlyList<PlacesFound> Places);

/// <summary>All opinions side by side, in order of recording. None ever disappears.</summary>
public sealed record OpinionHistory(IReadOnlyList<OpinionRead> Opinions, bool HousesDisagree)
{
    internal static OpinionHistory Read(Reading reading)
    {
        var bat = reading.State;
        var present = bat.Opinions.PresentByHouse(bat.Corrections).Values.ToHashSet();
        return new OpinionHistory(
            [.. bat.Opinions.ByEntry.Select(o => Of(reading, o.Key, o.Value, present.Contains(o.Key)))], bat.Opinions.HousesDisagree(bat.Corrections));
    }

    static OpinionRead Of(Reading reading, long n, Opinion opinion, bool isPresent)
    {
        var (at, given) = (reading[n], reading[n].Fact as IGivenOpinion);
        return new OpinionRead(
            n, opinion.Origin, reading.Who(opinion.House), reading.All(opinion.Examiners), at.Recorded, at.Entry.Envelope.Occurred, isPresent,
            Standings.Of(reading, n), opinion.Withdrawn, reading.State.Corrections.Open.Any(item => item.Entry == n), opinion.Pairs,
            given?.Pairs ?? [], opinion.Level, opinion.Conclusion, opinion.Grade, opinion.PicturesOnly, given?.Rubric, given?.HabitFile,
            given?.ComparisonFile, opinion.Fee, opinion.Interests, opinion.Departures,
            [.. opinion.RestsOn.Select(g => new Ground(g, reading[g].Fact.TypeName, Standings.Of(reading, g)))], [.. opinion.Supersedes],
            opinion.Replies, given?.Statement?.Value ?? (at.Fact as OpinionReported)?.Text?.Value, [.. Since(reading, n)],
            [.. Later(reading, n).Where(o => o.Value.Supersedes.Contains(n)).Select(o => o.Key)],
            [.. Later(reading, n).Where(o => o.Value.House != opinion.House && o.Value.Opposes(opinion)).Select(o => o.Key)],
            SeasonsOf(given), (given as IComputedOpinion)?.Graded, (given as IComputedOpinion)?.Inputs,
            [.. (given?.Examinations ?? []).Select(e => ExaminationOrder.Read(reading, e)).OfType<ExaminationOrder>()],
            (given as IComputedOpinion)?.Zones, (given as IComputedOpinion)?.Places ?? []);
    }

    // An opinion in the first shape states seasons under its player proposition only.
    static SeasonsFound? SeasonsOf(IGivenOpinion? given) => given switch
    {
        IComputedOpinion computed => computed.Seasons,
        OpinionGiven { Seasons: { Count: > 0 } stated } => new SeasonsFound(SeasonsMethod.Stated, [], [.. stated.Select(r => new SeasonSpan(r.From, r.To))], []),
        _ => null,
    };

    static IEnumerable<KeyValuePair<long, Opinion>> Later(Reading reading, long n) =>
        reading.State.Opinions.ByEntry.Where(o => o.Key > n && reading.State.Opinions.Counts(o.Key, reading.State.Corrections));

    static IEnumerable<SinceThen> Since(Reading reading, long n)
    {
        foreach (var later in reading.Entries.Skip((int)n).Where(e => !e.IsVoid))
        {
            var underIt = later.Fact.Fells.Any(fallen => fallen == n || Below(reading, later.N, fallen).Contains(n));
            if (KindOf(later.Fact, n) is { } kind) yield return new SinceThen(later.N, later.Fact.TypeName, kind, underIt);
            else if (underIt) yield return new SinceThen(later.N, later.Fact.TypeName, SinceKind.Corrected, true);
        }
    }

    // What rested on the fallen entry when it fell, not what rests on it now.
    static IReadOnlyList<long> Below(Reading reading, long at, long fallen) => reading.States[(int)at - 1].Corrections.Dependents(fallen);

    static SinceKind? KindOf(BatFact fact, long opinion) => fact switch
    {
        SourceCited => SinceKind.SourceAdded,
        ExaminationClosed or FindingsRevised => SinceKind.Examined,
        PicturesCompared => SinceKind.Compared,
        BatTreated or TreatmentReported => SinceKind.Treated,
        IncidentReported => SinceKind.Incident,
        MixUpFound or DuplicateFound or IdentityChecked { Result: IdentityResult.Different } => SinceKind.IdentityQuestioned,
        EntryCorrected => SinceKind.Corrected,
        SourceWithdrawn or OpinionWithdrawn or OpinionWithdrawalReported => SinceKind.Withdrawn,
        IGivenOpinion or OpinionReported => SinceKind.OtherOpinion,
        ReplyRecorded reply when reply.Opinion == opinion => SinceKind.Reply,
        _ => null,
    };
}

/// <summary>How entries stand now.</summary>
static class Standings
{
    public static EntryStanding Of(Reading reading, long n)
    {
        var bat = reading.State;
        if (bat.Corrections.IsVoid(n)) return EntryStanding.Void;
        if (IsWithdrawn(bat, n)) return EntryStanding.Withdrawn;
        return reading[n].CorrectedBy.Count > 0 ? EntryStanding.Corrected : EntryStanding.Stands;
    }

    static bool IsWithdrawn(Bat bat, long n) =>
        bat.Corrections.Stands(bat.Sources.ByEntry.GetValueOrDefault(n)?.Withdrawn)
        || bat.Corrections.Stands(bat.Opinions.ByEntry.GetValueOrDefault(n)?.Withdrawn)
        || (bat.Labels.ByEntry.ContainsKey(n) && !bat.Labels.IsGood(n, bat.Corrections))
        || bat.Lots.ByEntry.GetValueOrDefault(n)?.Standing == LotStanding.Withdrawn;
}
