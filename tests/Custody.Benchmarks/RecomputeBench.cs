using System.Diagnostics;
using Custody.Bats;
using Custody.Evidence;
using Custody.Ledger;
using Custody.Ledger.Tests;

namespace Custody.Benchmarks;

/// <summary>Opinions computed again from stored bytes: decoded, folded, dated, weighed and graded. Ten players' files, one comparison file of sixty others, a bat
/// for each opinion; no database.</summary>
static class RecomputeBench
{
    const int Files = 10, Many = 400, Others = 60, Games = 40;
    public const double Goal = 10_000;

    /// <summary>Numbers of each opinion that are said to be computed: two pairs of weight and word, three of seasons, the grade.</summary>
    public const int NumbersOfEach = 8;

    static readonly PartyId House = TestLedger.Party('B'), Examiner = TestLedger.Party('C'), Player = TestLedger.Party('D');
    static readonly FindingKind[] Kinds = [FindingKind.Tape, FindingKind.PineTar, FindingKind.UniformNumber, FindingKind.RackPosition, FindingKind.BallMark, FindingKind.KnobShape];

    public static void Measure(Figures figures)
    {
        using TestLedger ledger = new();
        Dictionary<StreamName, IReadOnlyList<byte[]>> stored = [];
        List<IReadOnlyList<byte[]>> bats = [.. Bats(ledger, stored, Many).Select(Bytes)];
        Run(bats.Take(20), stored); // warm
        var clock = Stopwatch.StartNew();
        // Each processor its own half of the bats and its own counted files.
        Parallel.ForEach(bats.Chunk((Many + 1) / 2), new ParallelOptions { MaxDegreeOfParallelism = 2 }, half => Run(half, stored));
        figures.AtLeast("recompute_per_min", Many / clock.Elapsed.TotalMinutes, "opinions", Goal);
    }

    /// <summary>Bats one after the other, each with an opinion; what they cite is in <paramref name="stored"/> before the first one comes.</summary>
    public static IEnumerable<ITestStream> Bats(TestLedger ledger, Dictionary<StreamName, IReadOnlyList<byte[]>> stored, int many)
    {
        var rubric = Rubric(ledger);
        var comparison = Comparison(ledger);
        var habits = Enumerable.Range(0, Files).Select(i => Habits(ledger, comparison, i)).ToList();
        foreach (var stream in habits.Append<ITestStream>(rubric).Append(comparison)) stored[stream.Name] = Bytes(stream);
        return Enumerable.Range(0, many).Select(i => Bat(ledger, rubric, comparison, habits[i % Files], i, stored));
    }

    static IReadOnlyList<byte[]> Bytes(ITestStream stream) => [.. stream.Lines.Select(l => l.Bytes)];

    static void Run(IEnumerable<IReadOnlyList<byte[]>> bats, Dictionary<StreamName, IReadOnlyList<byte[]>> stored)
    {
        CitedStreams streams = Read(stored);
        foreach (var bat in bats)
        {
            var history = History.Of(bat.Select(b => EntryCodec.Read(b)));
            if (OpinionRecomputed.Of(history, history.Entries.Count, streams, today: false) is not { Holds: true, Computed: NumbersOfEach })
                throw new InvalidOperationException("An opinion does not come out the same.");
        }
    }

    static CitedStreams Read(Dictionary<StreamName, IReadOnlyList<byte[]>> stored) =>
        new(stored.ToDictionary(s => s.Key, s => (IReadOnlyList<Entry>)[.. s.Value.Select(b => EntryCodec.Read(b))]));

    static TestStream<RubricFile> Rubric(TestLedger ledger) => new TestStream<RubricFile>(ledger, TestLedger.Name("rubric", 'R')).Do(new PublishRubric(
        1, House, [new(SupportWord.Weak, One("2")), new(SupportWord.Moderate, One("10")), new(SupportWord.Strong, One("1000"))],
        [new(UseWord.Slight, FindingKind.BallMark, 1), new(UseWord.Heavy, FindingKind.BallMark, 15)], [new(ConditionWord.Good, FindingKind.HandleCrack, 0)], [],
        new PicturesOnlyLimit(SupportWord.Moderate, FromPictures.MayBeGraded, FromPictures.NotAssessable), "Words", "A rubric.", null)
    { By = House });

    static TestStream<ComparisonFile> Comparison(TestLedger ledger)
    {
        var file = new TestStream<ComparisonFile>(ledger, TestLedger.Name("comparison", 'K')).Do(new OpenComparisonFile(House, CollectedFrom.Several, Edtf.Parse("1940/1970"), null) { By = House });
        foreach (var kind in Kinds) file.Do(new DefineComparisonCharacteristic(Of(kind), kind.ToString(), ["one", "two", "three"]) { By = House });
        for (var i = 0; i < Others * 3; i++)
            file.Do(new RecordComparisonOccasion(
                PartyOf(i / 3), OccasionKind.InPlayPicture, Edtf.Parse("1955"), null, null, BatEntry.NotABat, Seen(i / 3 + i % 3 / 2), null, null, null)
            { By = House });
        return file.Do(new VersionComparisonCounts(null) { By = House });
    }

    static TestStream<HabitFile> Habits(TestLedger ledger, TestStream<ComparisonFile> comparison, int number)
    {
        TestStream<HabitFile> file = new(ledger, TestLedger.Name("habits", "0123456789"[number]));
        file.Do(new OpenHabitFile(Player, House, Edtf.Parse("1948/1956"), null) { By = House });
        foreach (var line in comparison.Lines) file.Citable.Add(0, EntryCodec.Read(line.Bytes));
        for (var i = 0; i < Kinds.Length; i++)
            file.Do(new DefineCharacteristic(Of(Kinds[i]), comparison.Reference(i + 2), Kinds[i].ToString(), ["one", "two", "three"]) { By = House });
        for (var i = 0; i < Games; i++)
            file.Do(new RecordOccasion(OccasionKind.InPlayPicture, Edtf.Parse("1951"), null, null, BatEntry.NotABat, Seen(number + (i % 8 == 0 ? 1 : 0)), null, null, null) { By = House });
        return file.Do(new VersionCounts([.. Enumerable.Range(2, Kinds.Length).Select(n => (long)n)], null) { By = House });
    }

    static Characteristic Of(FindingKind kind) => new(kind, 3, Possible.Yes, Possible.Yes, null);

    static IReadOnlyList<Observation> Seen(int turn) => [.. Kinds.Select((_, i) => new Observation(i + 2, Observed.Seen, 1 + (turn + i) % 3))];

    static TestStream<Bat> Bat(
        TestLedger ledger, TestStream<RubricFile> rubric, TestStream<ComparisonFile> comparison, TestStream<HabitFile> habits, int number,
        Dictionary<StreamName, IReadOnlyList<byte[]>> stored)
    {
        TestStream<Bat> bat = new(ledger, StreamOf("bat", number));
        bat.Do(new RegisterBat(
            $"2024-{number:0000}-X", Arrival.BroughtIn, Examiner, House, AssertionBasis.HouseRecord, [new(Examiner, Fraction.Whole)], AssertionBasis.HoldersWord, "a bat", null, null)
        { By = House });
        bat.Do(new OpenExamination(Examiner, House, ExaminedFrom.BatInHand, Blinding.FixedOrder, [], ProposedBy.NobodyYet, null, [], null, null, null) { By = Examiner });
        bat.Do(new LockFindings(
            2, [.. Kinds.Select(k => new FindingStated(k, Presence.Seen, Confidence.High, SeenBy.Eye, null, One("7"))), new(FindingKind.HandleCrack, Presence.Absent, Confidence.High, SeenBy.Eye)],
            [], [.. ViewSeen.Fixed.Select(v => new ViewSeen(v, ViewAnswer.Seen))], null)
        { By = Examiner });
        bat.Do(new CloseExamination(2, ExaminationOutcome.Complete, null) { By = Examiner });
        bat.Do(new RecordDating(
            [
                new(BatMoment.Made, [Edtf.Parse("1949/1955")], BoundStrength.Hard, DatingScope.Bat, DatingBasis.MakersMark),
                new(BatMoment.Used, [Edtf.Parse("1948/1952")], BoundStrength.Hard, DatingScope.Player, DatingBasis.Tenure),
                new(BatMoment.LastUse, [Edtf.Parse("../1958")], BoundStrength.Hard, DatingScope.Bat, DatingBasis.Damage),
            ], null, null, null)
        { By = Examiner });
        OpinionBasis basis = new(
            [2], [], new WeightInputs([.. Kinds.Select((_, i) => new TraitRead(i + 2, Observed.Seen, 1 + (number + i) % 3, 2, i + 1))], [], [], null, Pool.InPlay, null, [], []),
            habits.Reference(habits.Lines.Count), comparison.Reference(comparison.Lines.Count), rubric.Reference(1), PropositionLevel.UsedByHim, WithSeasons: true);
        var numbers = OpinionNumbers.Of(History.Of(bat.Lines.Select(l => EntryCodec.Read(l.Bytes))).AsCorrected(), basis, Read(stored));
        if (numbers.Refused.Count > 0) throw new InvalidOperationException(numbers.Refused[0].Sentence);
        foreach (var reference in new[] { basis.HabitFile!, basis.ComparisonFile!, basis.Rubric! })
            bat.Citable.Add(0, EntryCodec.Read(stored[reference.Stream][(int)reference.N - 1]));
        return bat.Do(new GiveComputedOpinion(
            House, [Examiner], Player, numbers.Pairs, basis.Inputs, numbers.Seasons, new GradeGiven(PropositionLevel.UsedByHim, numbers.Grade!.Grade, numbers.Grade.Grade), basis.Rubric,
            null, new OpinionGrounds([2]), basis.HabitFile, basis.ComparisonFile, null, House, null, FeeTerms.NoFee, [], null, null)
        { By = Examiner });
    }

    static PartyId PartyOf(int number) => new(StreamOf("party", number));

    // Names by number: 24 letters that never change, and one that tells apart in the last places.
    static StreamName StreamOf(string kind, int number) => StreamName.Parse(
        $"{kind}/{new string('7', 21)}{new string([.. Enumerable.Range(0, 4).Select(i => "0123456789ABCDEFGHJKMNPQRSTVWXYZ"[(number >> (5 * i)) & 31])])}0");

    static Quantity One(string value) => Quantity.Parse(value, "1");
}
