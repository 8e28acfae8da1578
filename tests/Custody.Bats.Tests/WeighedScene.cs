using Custody.Evidence;
using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

/// <summary>A habit file, a comparison file and a rubric, a bat examined against them, and an opinion whose numbers are computed.</summary>
sealed class WeighedScene
{
    // Characteristics: entry 2 tape (rings, spiral), entry 3 pine tar (light, heavy), in both files.
    static readonly Characteristic Tape = new(FindingKind.Tape, 2, Possible.Yes, Possible.Yes, Edtf.Parse("1975"));
    static readonly Characteristic Tar = new(FindingKind.PineTar, 2, Possible.Yes, Possible.Yes, null);

    public WeighedScene()
    {
        Others.Given(
            new OpenComparisonFile(House, CollectedFrom.Several, Edtf.Parse("1940/1970"), null) { By = House },
            new DefineComparisonCharacteristic(Tape, "tape", ["rings", "spiral"]) { By = House }, new DefineComparisonCharacteristic(Tar, "tar", ["light", "heavy"]) { By = House });
        foreach (var player in "ghjkmnpqrstv") Others.Given(Other(player, tape: player == 'g' ? 2 : 1, tar: player < 'n' ? 1 : 2));
        Others.Given(new VersionComparisonCounts(null) { By = House });
        Habits.Citing(Others.Entries[1]).Citing(Others.Entries[2]).Given(
            new OpenHabitFile(Player, House, Edtf.Parse("1948/1956"), null) { By = House },
            new DefineCharacteristic(Tape, Others.Entries[1].Reference, "tape", ["rings", "spiral"]) { By = House },
            new DefineCharacteristic(Tar, Others.Entries[2].Reference, "tar", ["light", "heavy"]) { By = House });
        for (var game = 0; game < 6; game++) Habits.Given(His(tape: 2, tar: 1));
        Habits.Given(Version);
        Bat.Citing(Rubric.Entries[0]).Citing(Habits.Entries[^1]).Citing(Others.Entries[^1]).Given(
            Open(), Lock(2) with
            {
                Findings =
                [
                    Scene.Tape(), PineTar(Confidence.Moderate), new(FindingKind.BallMark, Presence.Seen, Confidence.High, SeenBy.RakingLight, null, One("11")),
                    new(FindingKind.HandleCrack, Presence.Absent, Confidence.High, SeenBy.Microscope),
                ],
            }, Close(2),
            new RecordDating(
                [
                    new(BatMoment.Made, [Edtf.Parse("1949/1955")], BoundStrength.Hard, DatingScope.Bat, DatingBasis.MakersMark),
                    new(BatMoment.Used, [Edtf.Parse("1948/1952")], BoundStrength.Hard, DatingScope.Player, DatingBasis.Tenure),
                ], null, null, null)
            { By = Examiner });
    }

    public Story<Bat> Bat { get; } = Registered();
    public Story<HabitFile> Habits { get; } = new("habits");
    public Story<ComparisonFile> Others { get; } = new("comparison");
    public Story<RubricFile> Rubric { get; } = new Story<RubricFile>("rubric").Given(RubricTests.Publish());

    public static RecordOccasion His(int tape, int tar, OccasionKind kind = OccasionKind.InPlayPicture) => new(
        kind, Edtf.Parse("1951"), null, null, BatEntry.NotABat, [new(2, Observed.Seen, tape), new(3, Observed.Seen, tar)], null, null, "a print")
    { By = House };

    public static RecordComparisonOccasion Other(char player, int tape, int tar) => new(
        Story<ComparisonFile>.Party(player), OccasionKind.InPlayPicture, Edtf.Parse("1955"), null, null, BatEntry.NotABat,
        [new(2, Observed.Seen, tape), new(3, Observed.Seen, tar)], null, null, "a print")
    { By = House };

    public static VersionCounts Version => new([2, 3], null) { By = House };

    public CitedStreams Streams => new(new Dictionary<StreamName, IReadOnlyList<Entry>>
    {
        [Habits.Entries[0].Envelope.Stream] = Habits.Entries,
        [Others.Entries[0].Envelope.Stream] = Others.Entries,
        [Rubric.Entries[0].Envelope.Stream] = Rubric.Entries,
    });

    public static WeightInputs Inputs => new(
        [new(2, Observed.Seen, 2, 2, 1), new(3, Observed.Seen, 1, 2, 2)], [], [], null, Pool.InPlay, null, [], []);

    public OpinionBasis Basis => new(
        [2], [Weigh(PropositionLevel.UsedInPlay, Alternative.NotUsedInPlay)], Inputs, Habits.Entries.Last(e => e.Fact is CountsVersioned).Reference,
        Others.Entries.Last(e => e.Fact is ComparisonCountsVersioned).Reference, Rubric.Entries[0].Reference, PropositionLevel.UsedByHim, WithSeasons: true);

    public OpinionNumbers Numbers => OpinionNumbers.Of(History.Of(Bat.Entries).AsCorrected(), Basis, Streams);

    /// <summary>The opinion as it comes out of its own inputs.</summary>
    public GiveComputedOpinion Opinion
    {
        get
        {
            var numbers = Numbers;
            Assert.Empty(numbers.Refused);
            return new(
                House, [Examiner], Player, numbers.Pairs, Inputs, numbers.Seasons, new GradeGiven(PropositionLevel.UsedByHim, numbers.Grade!.Grade, numbers.Grade.Grade),
                Basis.Rubric, null, new OpinionGrounds([2]), Basis.HabitFile, Basis.ComparisonFile, null, Owner, Owner, FeeTerms.NotContingent, [], "his", null)
            { By = Examiner };
        }
    }

    /// <summary>Gives the opinion; its entry's number.</summary>
    public long Give(Func<GiveComputedOpinion, GiveComputedOpinion>? change = null)
    {
        Bat.Given(change is null ? Opinion : change(Opinion));
        return Bat.State.N;
    }

    public OpinionRecomputed Recompute(long n, bool today = false, CitedStreams? streams = null) =>
        OpinionRecomputed.Of(History.Of(Bat.Entries), n, streams ?? Streams, today)!;
}
