using Custody.Evidence.Weight;

namespace Custody.Bats;

/// <summary>One number that came out otherwise.</summary>
public sealed record NumberMoved(string What, string? From, string? To);

/// <summary>An entry that moved a number: of the habit file, the comparison file, the rubric or the bat itself.</summary>
public sealed record CauseOfChange(StreamName Stream, long Entry, string Type, DateTimeOffset Recorded, IReadOnlyList<NumberMoved> Moved);

/// <summary>Which next observation would change the word against one alternative, ranked: the likeliest change first.</summary>
public sealed record NextAgainst(Alternative Against, string Word, IReadOnlyList<NextObservation> Next);

/// <summary>What would come out under today's files and record, and how it came to differ.</summary>
/// <param name="Changed">Every number that is another one now, from as recorded to as it would come out.</param>
/// <param name="Causes">What moved them, in the order of recording; each step goes on from the one before.</param>
/// <param name="LeftOutSince">Occasions recorded since that are this bat's own, and are left out.</param>
/// <param name="Next">Observations that would change a word now; empty where nothing is computed from habits.</param>
public sealed record NumbersToday(
    IReadOnlyList<NumberMoved> Changed, IReadOnlyList<CauseOfChange> Causes, IReadOnlyList<long> LeftOutSince, IReadOnlyList<NextAgainst> Next, IReadOnlyList<Refusal> Refused)
{
    internal static NumbersToday Of(History history, long n, IComputedOpinion opinion, CitedStreams streams)
    {
        var now = new Replay(history, n, opinion, streams);
        var first = now.Texts();
        List<CauseOfChange> causes = [];
        var before = first;
        foreach (var entry in now.Later)
        {
            now.Take(entry);
            var after = now.Texts();
            var moved = Moved(before, after);
            if (moved.Count > 0) causes.Add(new CauseOfChange(entry.Envelope.Stream, entry.N, entry.Fact.TypeName, entry.Envelope.Recorded, moved));
            before = after;
        }
        return new NumbersToday(Moved(first, before), causes, now.LeftOutSince, now.Next(), now.Refused);
    }

    static List<NumberMoved> Moved(SortedDictionary<string, string> before, SortedDictionary<string, string> after) =>
        [.. before.Keys.Union(after.Keys, StringComparer.Ordinal).Order(StringComparer.Ordinal).Select(what => new NumberMoved(what, before.GetValueOrDefault(what), after.GetValueOrDefault(what)))
            .Where(m => !string.Equals(m.From, m.To, StringComparison.Ordinal))];
}

/// <summary>The inputs of an opinion carried forward, one entry at a time.</summary>
sealed class Replay
{
    readonly History history;
    readonly IComputedOpinion opinion;
    readonly List<Entry>? habits, comparison;
    readonly HashSet<long> ownOccasions, ownInComparison;
    readonly HashSet<StreamName> bats;
    readonly List<long> lists;
    Reading reading;
    RubricPublished? rubric;
    OpinionNumbers numbers = OpinionNumbers.None;

    internal Replay(History history, long n, IComputedOpinion opinion, CitedStreams streams)
    {
        (this.history, this.opinion) = (history, opinion);
        (habits, comparison) = (streams.UpTo(opinion.HabitFile)?.ToList(), streams.UpTo(opinion.ComparisonFile)?.ToList());
        rubric = streams.UpTo(opinion.Rubric)?[^1].Fact as RubricPublished;
        reading = history.UpTo(n - 1);
        bats = [StreamName.Parse(reading.State.Id)];
        (ownOccasions, ownInComparison) = ([.. opinion.Inputs?.OwnOccasions ?? []], [.. opinion.Inputs?.OwnInComparison ?? []]);
        lists = [.. opinion.Places.Select(p => p.List)];
        Later =
        [
            .. streams.After(opinion.HabitFile).Concat(streams.After(opinion.ComparisonFile)).Concat(streams.After(opinion.Rubric))
                .Concat(history.Entries.Skip((int)n).Where(e => MayMove(e.Fact)))
                .OrderBy(e => e.Envelope.Recorded).ThenBy(e => e.Envelope.Stream.ToString(), StringComparer.Ordinal).ThenBy(e => e.N),
        ];
    }

    /// <summary>Everything recorded since that could move a number, in the order of recording.</summary>
    internal IReadOnlyList<Entry> Later { get; }

    internal IReadOnlyList<long> LeftOutSince => [.. ownOccasions.Except(opinion.Inputs?.OwnOccasions ?? []).Order()];

    internal IReadOnlyList<Refusal> Refused => numbers.Refused;

    // Whatever of the bat's own record findings, dates or their grounds hang on. Others move nothing.
    static bool MayMove(Fact fact) =>
        fact is FindingsLocked or FindingsRevised or DatingRecorded or SourceCited or SourceWithdrawn or PicturesCompared or EntryCorrected or BaselineRecorded or WhereaboutsListed;

    internal void Take(Entry entry)
    {
        var stream = entry.Envelope.Stream;
        // What has come into a file since and shows this very bat is left out as its own occasions were.
        if (stream == opinion.HabitFile?.Stream)
        {
            habits!.Add(entry);
            ownOccasions.UnionWith(FilesToWeigh.OwnIn(habits, Fold<HabitFile>(habits).Occasions, bats));
        }
        else if (stream == opinion.ComparisonFile?.Stream)
        {
            comparison!.Add(entry);
            ownInComparison.UnionWith(FilesToWeigh.OwnIn(comparison, Fold<ComparisonFile>(comparison).Occasions, bats));
        }
        else if (stream == opinion.Rubric?.Stream) rubric = entry.Fact as RubricPublished ?? rubric;
        else
        {
            reading = history.UpTo(entry.N);
            // A later list goes on from the one it takes the place of.
            if (entry.Fact is WhereaboutsListed { Replaces: { } old } && lists.Contains(old)) lists.Add(entry.N);
        }
    }

    static TState Fold<TState>(IEnumerable<Entry> entries) where TState : StreamState<TState>, new() =>
        entries.Aggregate(new TState(), (state, entry) => state.Fold(entry));

    internal SortedDictionary<string, string> Texts()
    {
        numbers = OpinionNumbers.Of(reading, OpinionBasis.Of(opinion) with { Inputs = Inputs, ZonesLeftOut = ZonesLeftOut(), Lists = Lists() }, habits, comparison, rubric);
        SortedDictionary<string, string> texts = new(StringComparer.Ordinal);
        foreach (var pair in numbers.Pairs.Where(p => p.Method == NumberMethod.Weight1))
            texts[$"{OpinionRecomputed.Named(pair)}: weight"] = $"{OpinionRecomputed.Texts(pair)}, {OpinionRecomputed.Told(pair)}";
        if (numbers.Seasons is { } seasons)
        {
            texts["seasons, the bat alone"] = OpinionRecomputed.Runs(seasons.BatAlone);
            texts["seasons under the player"] = OpinionRecomputed.Runs(seasons.UnderPlayer);
        }
        else if (opinion.Seasons is { Method: SeasonsMethod.Stated, Dated.Count: > 0 } stated && OpinionNumbers.SeasonsFrom(reading, stated.Dated).Found is { } leave)
        {
            texts["seasons that the named facts leave, the bat alone"] = OpinionRecomputed.Runs(leave.BatAlone);
            texts["seasons that the named facts leave, under the player"] = OpinionRecomputed.Runs(leave.UnderPlayer);
        }
        foreach (var (what, text) in Surroundings.Texts(numbers.Zones, numbers.Places)) texts[what] = text;
        if (numbers.Grade is { } grade) texts["grade by the rubric"] = OpinionRecomputed.Told(grade.Grade);
        return texts;
    }

    // Zones that came since and rest on this bat's own occasions are left out as the earlier ones were.
    long[] ZonesLeftOut() => habits is null ? [] : [.. (opinion.Zones?.LeftOut ?? []).Union(Fold<HabitFile>(habits).ZonesOfItsOwn(ownOccasions)).Order()];

    long[] Lists() => [.. lists.Where(n => Datings.Counts(reading.State, reading.State.Datings.Lists, n))];

    internal IReadOnlyList<NextAgainst> Next() =>
        Inputs is { } inputs && WeightNumbers.Whole(reading.State, inputs, habits, comparison, rubric) is { } whole
            ? [.. whole.Pairs.Select(p => new NextAgainst(
                p.Pair.Against == WeighedAgainst.PreparedLater ? Alternative.PreparedLater : Alternative.UsedByAnotherProfessional, p.Wording.Sentence, p.Next))]
            : [];

    /// <summary>The inputs as the findings read now: one taken back is no longer read, one revised is read as it stands.</summary>
    WeightInputs? Inputs => opinion.Inputs is not { } inputs ? null : inputs with
    {
        Traits = [.. inputs.Traits.Select(Now).OfType<TraitRead>()],
        OwnOccasions = [.. ownOccasions.Order()],
        OwnInComparison = [.. ownInComparison.Order()],
    };

    TraitRead? Now(TraitRead trait) => reading.State.Examinations.ByEntry[trait.Examination].Held.GetValueOrDefault(trait.Finding) switch
    {
        null => null,
        { Presence: Presence.Absent } => trait with { Observed = Observed.Absent, Value = null },
        { Presence: Presence.NotAssessable } => trait with { Observed = Observed.CouldNotBeSeen, Value = null },
        // Which value it is, a finding newly seen does not say.
        _ => trait.Observed == Observed.Seen ? trait : null,
    };
}
