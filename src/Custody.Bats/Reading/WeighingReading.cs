using Custody.Evidence;
using Custody.Evidence.Weight;

namespace Custody.Bats;

/// <summary>Which named value of a characteristic a finding of the bat shows, as the examiner reads it against the file.</summary>
/// <param name="Characteristic">Number of the <c>CharacteristicDefined</c>.</param>
/// <param name="Value">0 for absent, otherwise a named value.</param>
public sealed record ReadAs(long Characteristic, int Value);

/// <summary>What is asked of a weighing.</summary>
/// <param name="Examination">Entry that opened it; null for the latest with locked findings that was not given up.</param>
/// <param name="Readings">Values that the findings' own words do not tell.</param>
public sealed record WeighingAsked(long? Examination, IReadOnlyList<ReadAs> Readings, WeighingChoices Choices);

/// <summary>A bat weighed from the ledger.</summary>
/// <param name="HabitFile">The version of the habit file weighed against.</param>
/// <param name="ValueNotRead">Characteristics of which something was seen, but not said which value it is: they do not count.</param>
public sealed record BatWeighed(
    long Examination, Reference HabitFile, Reference ComparisonFile, IReadOnlyList<ReadAs> Readings, IReadOnlyList<long> ValueNotRead, IReadOnlyList<long> OwnLeftOut,
    IReadOnlyList<long> OthersLeftOut, int BatsNotNamed, WeighingResult Result);

/// <summary>Weighs a bat's locked findings against files of habits.</summary>
static class WeighingReading
{
    /// <summary>The weighing, or the refusal by name: <c>no-locked-findings</c>, <c>findings-contradict</c>, <c>reading-without-finding</c>, and what
    /// <see cref="Weigher"/> refuses.</summary>
    internal static (BatWeighed? Weighed, Refusal? Refused) Read(Reading reading, IReadOnlyList<Entry> habits, IReadOnlyList<Entry> comparison, WeighingAsked asked)
    {
        if (Examined(reading, asked.Examination) is not { } examined)
            return (null, new("no-locked-findings", "There is no such examination with locked findings on this bat.", "Lock the findings of an examination first."));
        var files = FilesToWeigh.Read(habits, comparison, Streams(reading));
        var (findings, notRead, refused) = Findings(examined, files, asked.Readings);
        if (refused is not null) return (null, refused);
        var opened = (ExaminationOpened)reading[examined.Entry].Fact;
        WeighingInput input = new(
            files.Order, files.Habits, files.Comparison, findings, WeighingInput.UsualPairs, Of(opened.ProposedBy), (int)Math.Min(opened.FilesSearched ?? 1, int.MaxValue),
            CustodyDocumented.From(reading));
        return Weigher.TryWeigh(input, asked.Choices, out var result, out var no)
            ? (new BatWeighed(examined.Entry, At(habits), At(comparison), asked.Readings, notRead, files.OwnLeftOut, files.OthersLeftOut, files.BatsNotNamed, result), null)
            : (null, new(no.Code, no.Sentence, no.Remedy));
    }

    static ExaminationRead? Examined(Reading reading, long? asked) => ExaminationRead.All(reading).LastOrDefault(e =>
        asked is { } n ? e.Entry == n : reading.State.Examinations.ByEntry[e.Entry].Outcome != ExaminationOutcome.GivenUp);

    /// <summary>The bat's own stream, and those of records that are declared to be of the same bat.</summary>
    internal static HashSet<StreamName> Streams(Reading reading) =>
    [
        StreamName.Parse(reading.State.Id), .. reading.Standing<SameBatDeclared>().SelectMany(s => s.Fact.Cites).Where(r => r.Ledger is null).Select(r => r.Stream),
        .. reading.Standing<DuplicateFound>().SelectMany(s => s.Fact.Cites).Where(r => r.Ledger is null).Select(r => r.Stream),
    ];

    static Reference At(IReadOnlyList<Entry> entries) => new(null, entries[^1].Envelope.Stream, entries[^1].N, entries[^1].Hash);

    static Evidence.Weight.ProposedBy Of(ProposedBy proposed) => proposed switch
    {
        ProposedBy.Consignor => Evidence.Weight.ProposedBy.Consignor,
        ProposedBy.MarkingOnBat => Evidence.Weight.ProposedBy.MarkingOnBat,
        ProposedBy.SearchOfFiles => Evidence.Weight.ProposedBy.SearchOfFiles,
        _ => Evidence.Weight.ProposedBy.NobodyThen,
    };

    static (List<BatFinding> Findings, List<long> NotRead, Refusal? Refused) Findings(ExaminationRead examined, FilesToWeigh files, IReadOnlyList<ReadAs> readings)
    {
        List<BatFinding> findings = [];
        List<long> notRead = [];
        foreach (var characteristic in files.Order)
        {
            var kind = files.Kinds[characteristic.Id];
            List<FindingRead> of = [.. examined.Findings.Where(f => f.Kind == kind)];
            List<ReadAs> said = [.. readings.Where(r => r.Characteristic == characteristic.Id)];
            if (said.Count > 0 && of.All(f => f.Presence == Presence.NotAssessable))
                return (findings, notRead, new("reading-without-finding", "A value is read of which the examination judged nothing.", "Read what was found."));
            if (said.Count == 0 && Contradict(of))
                return (findings, notRead, new("findings-contradict", "One thing is found seen and absent at one place.", "Revise a finding, or say which value it is read as."));
            if (said.Count > 0) findings.AddRange(said.Select(s => new BatFinding(characteristic.Id, s.Value == 0 ? FoundState.Absent : FoundState.Seen, s.Value)));
            else if (of.Count > 0 && StateOf(of, characteristic, OnlyOneOf(files, kind)) is { } finding) findings.Add(finding);
            else if (of.Count > 0)
            {
                notRead.Add(characteristic.Id);
                findings.Add(new BatFinding(characteristic.Id, FoundState.SeenValueNotSaid));
            }
        }
        // A reading of something that the file does not have is refused where findings are.
        findings.AddRange(readings.Where(r => !files.Kinds.ContainsKey(r.Characteristic)).Select(r => new BatFinding(r.Characteristic, FoundState.Seen, r.Value)));
        return (findings, notRead, null);
    }

    static bool OnlyOneOf(FilesToWeigh files, FindingKind kind) => files.Kinds.Values.Count(k => k == kind) == 1;

    // Words alone tell absence, that it cannot be judged, and presence where there is one value only.
    static BatFinding? StateOf(IReadOnlyList<FindingRead> of, HabitCharacteristic characteristic, bool onlyOne) =>
        of.All(f => f.Presence == Presence.NotAssessable) ? new(characteristic.Id, FoundState.NotAssessable)
        : of.All(f => f.Presence != Presence.Seen) ? new(characteristic.Id, FoundState.Absent)
        : onlyOne && characteristic.Values == 1 ? new(characteristic.Id, FoundState.Seen, 1)
        : null;

    static bool Contradict(IReadOnlyList<FindingRead> of) => of.Any(a => a.Presence == Presence.Seen
        && of.Any(b => b.Presence == Presence.Absent && (a.Place is null || b.Place is null || a.Place == b.Place)));
}
