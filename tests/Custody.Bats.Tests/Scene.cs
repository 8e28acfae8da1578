using Custody.Evidence;

namespace Custody.Bats.Tests;

/// <summary>An invented bat with what examinations and opinions need, so that a test says only what it is about.</summary>
static class Scene
{
    public static readonly PartyId Owner = Story<Bat>.Party('a');
    public static readonly PartyId House = Story<Bat>.Party('b');
    public static readonly PartyId Examiner = Story<Bat>.Party('c');
    public static readonly PartyId Second = Story<Bat>.Party('d');
    public static readonly PartyId Player = Story<Bat>.Party('e');
    public static readonly PartyId OtherHouse = Story<Bat>.Party('f');

    public static PictureHash Picture(char letter) => new(new string(letter, 42) + "A");

    public static Quantity Inches(string value) => Quantity.Parse(value, "[in_i]");

    public static Quantity Degrees(string value) => Quantity.Parse(value, "deg");

    public static Quantity One(string value) => Quantity.Parse(value, "1");

    /// <summary>Entry 1: a registered bat, kept by the house.</summary>
    public static Story<Bat> Registered() => new Story<Bat>().Given(new RegisterBat(
        "2024-0001-X", Arrival.BroughtIn, Owner, House, AssertionBasis.HouseRecord, [new(Owner, Fraction.Whole)], AssertionBasis.HoldersWord,
        "a bat", null, null)
    { By = House });

    public static PhotographBat Photograph(params char[] pictures) => new(
        [.. pictures.Select(p => new PictureOfBat(
            Picture(p), "original " + p, BatView.Handle, Lighting.Raking, ScaleShown.Ruler, null, "a camera", Edtf.Parse("2024-02-28")))],
        Second, "the workroom")
    { By = House };

    public static OpenExamination Open(
        ExaminedFrom from = ExaminedFrom.BatInHand, Blinding blinding = Blinding.FixedOrder, PartyId? house = null, PartyId? examiner = null,
        params long[] photographs) =>
        new(examiner ?? Examiner, house ?? House, from, blinding, [], ProposedBy.NobodyYet, null, photographs, null, "before a sale", null)
        { By = examiner ?? Examiner };

    public static FindingStated Tape(Confidence confidence = Confidence.Moderate) => new(
        FindingKind.Tape, Presence.Seen, confidence, SeenBy.Eye,
        new SurfacePlace(SurfaceShape.Band, SurfaceDatum.Brand, Inches("1.5"), Inches("9"), null, null), null, null, "a spiral of cloth tape");

    public static FindingStated PineTar(Confidence confidence = Confidence.High) => new(
        FindingKind.PineTar, Presence.Seen, confidence, SeenBy.RakingLight,
        new SurfacePlace(SurfaceShape.Patch, SurfaceDatum.Brand, Inches("9"), Inches("14.25"), Degrees("350"), Degrees("40")), null, null, "heavy");

    public static readonly IReadOnlyList<ViewSeen> AllViews = [.. ViewSeen.Fixed.Select(v => new ViewSeen(v, ViewAnswer.Seen))];

    public static LockFindings Lock(long examination, PartyId? examiner = null) => new(
        examination, [Tape(), PineTar()], [new(2, 1, SeenBy.Microscope, Confidence.Moderate, null)], AllViews, "clear")
    { By = examiner ?? Examiner };

    public static CloseExamination Close(long examination, PartyId? examiner = null, ExaminationOutcome outcome = ExaminationOutcome.Complete) =>
        new(examination, outcome, null) { By = examiner ?? Examiner };

    /// <summary>Entries 2 to 4: an examination opened, locked and closed.</summary>
    public static Story<Bat> Examined() => Registered().Given(Open(), Lock(2), Close(2));

    public static CiteSource Cite(
        SourceKind kind = SourceKind.OriginalPrint, PlayShown play = PlayShown.InPlay, long? copyOf = null, long? sameOccasion = null) => new(
        kind, SourceStanding.Original, play, Edtf.Parse("1952~"), copyOf, sameOccasion, [FindingKind.Tape], null, "A print", "a collector",
        "the handle", null)
        { By = Examiner };

    public static Weighing Weigh(
        PropositionLevel level, Alternative against, SupportFor side = SupportFor.Proposition, SupportWord word = SupportWord.Moderate) =>
        new(level, against, side, word, null, null, null, null);

    public static GiveOpinion Opine(params long[] examinations) => new(
        House, [Examiner], Player, [Weigh(PropositionLevel.UsedInPlay, Alternative.NotUsedInPlay)], [new SeasonRun(1950, 1953)], null, null, null,
        new OpinionGrounds(examinations), null, null, null, Owner, Owner, FeeTerms.NotContingent, [], "used in play", "the reasons")
    { By = Examiner };

    public static ReportOpinion ReportOf(PartyId house, ReportedConclusion conclusion = ReportedConclusion.Supports, string? given = null) => new(
        house, null, null, PropositionLevel.UsedInPlay, conclusion, AssertionBasis.Letter, FeeTerms.NotStated, [DeclaredInterest.NotStated],
        [OpinionIrregularity.CopyOnly], [], "a letter", null)
    { By = House, Occurred = given is null ? null : Edtf.Parse(given) };
}
