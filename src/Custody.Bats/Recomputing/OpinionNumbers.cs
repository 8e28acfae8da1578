using Custody.Evidence;

namespace Custody.Bats;

/// <summary>What the numbers of an opinion are computed from.</summary>
/// <param name="Stated">Pairs that the examiner states; they stand as stated.</param>
/// <param name="Level">The level that the grade's support speaks of; null for no grade.</param>
/// <param name="WithSeasons">Whether seasons are computed from the dated facts on the record.</param>
/// <param name="WithZones">Whether placed findings are compared with the usual zones of the habit file.</param>
/// <param name="ZonesLeftOut">Zones that the bat itself documents, by number; null to find them in what this reader is shown.</param>
/// <param name="Lists">Numbers of <c>WhereaboutsListed</c> whose fit is computed.</param>
public sealed record OpinionBasis(
    IReadOnlyList<long> Examinations, IReadOnlyList<Weighing> Stated, WeightInputs? Inputs, Reference? HabitFile, Reference? ComparisonFile, Reference? Rubric,
    PropositionLevel? Level, bool WithSeasons, bool WithZones = false, IReadOnlyList<long>? ZonesLeftOut = null, IReadOnlyList<long>? Lists = null)
{
    /// <summary>The entries it is computed from in other streams.</summary>
    [System.Text.Json.Serialization.JsonIgnore]
    public IEnumerable<Reference> Cites => new[] { HabitFile, ComparisonFile, Rubric }.OfType<Reference>();

    internal static OpinionBasis Of(IComputedOpinion opinion) => new(
        opinion.Examinations, [.. opinion.Pairs.Where(p => p.Method != NumberMethod.Weight1)], opinion.Inputs, opinion.HabitFile, opinion.ComparisonFile, opinion.Rubric,
        opinion.Graded?.Level, opinion.Seasons?.Method == SeasonsMethod.Seasons1,
        opinion.Zones is not null, opinion.Zones?.LeftOut, [.. opinion.Places.Select(p => p.List)]);
}

/// <summary>The numbers of an opinion as they come out.</summary>
/// <param name="Pairs">Computed pairs first, then those stated.</param>
/// <param name="Refused">What could not be computed, and why; the rest stands.</param>
/// <param name="Zones">Null where none are asked for, or none could be computed.</param>
/// <param name="Places">One for each list that is asked for and could be computed.</param>
public sealed record OpinionNumbers(
    IReadOnlyList<Weighing> Pairs, SeasonsFound? Seasons, PropositionLevel? Level, RubricGrade? Grade, IReadOnlyList<Refusal> Refused, ZonesFound? Zones,
    IReadOnlyList<PlacesFound> Places)
{
    internal static readonly OpinionNumbers None = new([], null, null, null, [], null, []);

    internal string? WhyNot => Refused.Count > 0 ? Refused[0].Code : null;

    /// <summary>Computes from what the record held after the reading's last entry, and from the versions cited. Open fields only: whoever holds the
    /// ledger's entries gets the same, whatever was erased.</summary>
    public static OpinionNumbers Of(Reading reading, OpinionBasis basis, CitedStreams streams) =>
        Of(reading, basis, streams.UpTo(basis.HabitFile), streams.UpTo(basis.ComparisonFile), streams.UpTo(basis.Rubric)?[^1].Fact as RubricPublished,
            // Hashes commit to everything before, so the three of them name the versions.
            (streams, $"{basis.HabitFile?.Hash}|{basis.ComparisonFile?.Hash}|{basis.Rubric?.Hash}|"));

    /// <summary>The same, from files as they stood at some moment; null for one that is not held here.</summary>
    internal static OpinionNumbers Of(
        Reading reading, OpinionBasis basis, IReadOnlyList<Entry>? habits, IReadOnlyList<Entry>? comparison, RubricPublished? rubric,
        (CitedStreams, string)? kept = null)
    {
        List<Refusal> refused = [];
        if (basis.Rubric is not null && rubric is null) refused.Add(NotHeld("rubric"));
        List<Weighing> pairs = [];
        if (basis.Inputs is { } inputs)
        {
            var (weighed, unweighed) = WeightNumbers.Of(reading.State, inputs, habits, comparison, rubric, kept);
            pairs.AddRange(weighed);
            if (unweighed is not null) refused.Add(unweighed);
        }
        pairs.AddRange(basis.Stated);
        var seasons = basis.WithSeasons ? SeasonsOf(reading, refused) : null;
        var grade = GradeOf(reading.State, basis, rubric, pairs, refused);
        return new OpinionNumbers(
            pairs, seasons, basis.Level, grade, refused, basis.WithZones ? ZonesOf(reading, basis, habits, refused) : null,
            basis.Lists is { Count: > 0 } lists ? [.. PlacesOf(reading, lists, refused)] : []);
    }

    static ZonesFound? ZonesOf(Reading reading, OpinionBasis basis, IReadOnlyList<Entry>? habits, List<Refusal> refused)
    {
        if (habits is null)
        {
            refused.Add(NotHeld("habit file"));
            return null;
        }
        var zones = BatZones.Read(reading, habits, basis.Examinations, basis.ZonesLeftOut);
        if (zones.Refused is { } no) refused.Add(no);
        return zones.Found;
    }

    static IEnumerable<PlacesFound> PlacesOf(Reading reading, IReadOnlyList<long> lists, List<Refusal> refused)
    {
        var read = reading.Layers().Examinations.SelectMany(e => e.Whereabouts).ToDictionary(w => w.Entry);
        foreach (var list in lists)
        {
            if (read.GetValueOrDefault(list) is { Fit: { } fit }) yield return PlacesFound.Of(list, fit);
            else refused.Add(read.GetValueOrDefault(list)?.Refused ?? new("list-not-counted", $"Entry {list} is no list of places that counts, or its layers permit no order.", "Name a list that stands."));
        }
    }

    internal static Refusal NotHeld(string what) =>
        new("cited-not-held", $"The version of the {what} that the opinion cites is not held here.", "Compute it where the ledger is.");

    static RubricGrade? GradeOf(Bat bat, OpinionBasis basis, RubricPublished? rubric, List<Weighing> pairs, List<Refusal> refused)
    {
        if (basis.Level is not { } level || rubric is null) return null;
        var examinations = basis.Examinations.Distinct().Where(bat.Examinations.ByEntry.ContainsKey).Select(n => KeyValuePair.Create(n, bat.Examinations.ByEntry[n])).ToList();
        if (examinations.Count == 0) refused.Add(new("no-such-examination", "The grade rests on no examination of this bat.", "Name the entries that opened them."));
        return examinations.Count == 0 ? null : RubricGrading.Of(
            rubric, Marks.In(examinations), pairs.Where(p => p.Level == level).Select(p => (p.For, p.Word)), examinations.TrueForAll(e => e.Value.From == ExaminedFrom.PicturesOnly));
    }

    /// <summary>Feasible seasons, hard bounds only, from every dated fact that counts now; null when there are more than can be taken together.</summary>
    static SeasonsFound? SeasonsOf(Reading reading, List<Refusal> refused)
    {
        var (found, unfit) = SeasonsFrom(reading, null);
        if (unfit is not null) refused.Add(unfit);
        return found;
    }

    /// <summary>The same from the dated facts of some entries only; null for all.</summary>
    internal static (SeasonsFound? Found, Refusal? Unfit) SeasonsFrom(Reading reading, IReadOnlyList<long>? only)
    {
        var (report, _, unfit) = BatSeasons.Read(reading, only);
        return (report is null ? null : new SeasonsFound(
            SeasonsMethod.Seasons1, Spans(report.BatAlone), Spans(report.UnderPlayer),
            // A fact goes by its entry's number and its key in it.
            [.. report.Facts.Select(f => f.Id).Concat(report.Lags.Select(l => l.Id))
                .Select(id => long.Parse(id.AsSpan(0, id.IndexOf('.', StringComparison.Ordinal)), System.Globalization.CultureInfo.InvariantCulture)).Distinct().Order()]), unfit);
    }

    static IReadOnlyList<SeasonSpan> Spans(SeasonsView view) => [.. view.Hard.Select(r => new SeasonSpan((int?)r.First, (int?)r.Last))];
}
