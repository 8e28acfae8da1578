using Custody.Evidence;
using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

public class ReviewTests
{
    static RegradingReview Read(Story<Bat> story) => History.Of(story.Entries).AsCorrected().Review(CitedStreams.None);

    static FindingStated Crack(string from, string to, Confidence confidence = Confidence.High) => new(
        FindingKind.HandleCrack, Presence.Seen, confidence, SeenBy.Microscope,
        new SurfacePlace(SurfaceShape.Patch, SurfaceDatum.Brand, Inches(from), Inches(to), Degrees("80"), Degrees("95")));

    static FindingStated Of(FindingKind kind, Presence presence, string? measure = null) =>
        new(kind, presence, Confidence.Moderate, SeenBy.Eye, null, measure is null ? null : One(measure));

    /// <summary>Two examinations: entries 2 to 4 and 5 to 7.</summary>
    static Story<Bat> Twice(FindingStated[] first, FindingStated[] second, PartyId? by = null) => Registered().Given(
        Open(), Lock(2) with { Findings = first, Layers = null }, Close(2), Open(examiner: by ?? Second), Lock(5, by ?? Second) with { Findings = second, Layers = null }, Close(5, by ?? Second));

    static ExaminationsCompared Compare(Story<Bat> story) => Assert.Single(Read(story).Agreement);

    static IEnumerable<(FindingKind, Agreement, int?, int?)> Told(ExaminationsCompared compared) => compared.Findings.Select(f => (f.Kind, f.Agreement, f.First, f.Second));

    [Fact]
    public void Two_examinations_agree_or_conflict_at_the_same_place_within_the_tolerance()
    {
        var compared = Compare(Twice(
            [Crack("3", "5"), Of(FindingKind.BallMark, Presence.Seen, "11"), Of(FindingKind.Stencil, Presence.Seen), Of(FindingKind.Chip, Presence.Absent), Of(FindingKind.Repair, Presence.Absent), Tape()],
            [Crack("3.2", "5.2", Confidence.Low), Of(FindingKind.BallMark, Presence.Seen, "12"), Of(FindingKind.Stencil, Presence.Absent), Of(FindingKind.Chip, Presence.Absent), Of(FindingKind.RackMark, Presence.Seen), Of(FindingKind.Tape, Presence.NotAssessable)]));
        Assert.Equal(
            [
                (FindingKind.Stencil, Agreement.Conflict, 3, null), (FindingKind.BallMark, Agreement.DifferInExtent, 2, 2), (FindingKind.RackMark, Agreement.OneOnly, null, 5),
                (FindingKind.Tape, Agreement.NotComparable, 6, null), (FindingKind.HandleCrack, Agreement.Agree, 1, 1), (FindingKind.Chip, Agreement.Agree, 4, 4),
            ],
            Told(compared));
        var crack = compared.Findings.Single(f => f.Kind == FindingKind.HandleCrack);
        Assert.Equal((Confidence.High, Confidence.Low), (crack.FirstConfidence!.Value, crack.SecondConfidence!.Value));
        Assert.Equal(SpotTolerance.Usual, compared.Tolerance);
        Assert.False(compared.SameExaminer);
    }

    [Fact]
    public void A_crack_elsewhere_is_another_crack()
    {
        var compared = Compare(Twice([Crack("3", "5")], [Crack("8", "10")], Examiner));
        Assert.Equal([(FindingKind.HandleCrack, Agreement.OneOnly, 1, null), (FindingKind.HandleCrack, Agreement.OneOnly, (int?)null, 1)], Told(compared).OrderBy(t => t.Item4));
        Assert.True(compared.SameExaminer);
    }

    [Fact]
    public void What_happened_between_two_examinations_stands_beside_their_differences()
    {
        var story = Registered().Given(
            Open(), Lock(2), Close(2), new ReportTreatment([TreatmentKind.Cleaning], Reversible.No, null, AssertionBasis.Letter, null, null) { By = House }, Open(), Lock(6), Close(6));
        Assert.Equal([5L], Compare(story).Between.Select(b => b.Entry));
    }

    [Fact]
    public void An_examination_that_contradicts_itself_is_not_compared_and_says_why() => Assert.Equal(
        "findings-contradict", Compare(Twice([Of(FindingKind.Stencil, Presence.Seen), Of(FindingKind.Stencil, Presence.Absent)], [Tape()])).Refused?.Code);

    [Fact]
    public void All_prior_opinions_stand_side_by_side_with_what_came_since()
    {
        var story = Twice([Tape()], [Tape()]).Given(
            Cite(), Opine(2) with { Grounds = new OpinionGrounds([2], [8]), Interests = [DeclaredInterest.SellsTheBat] }, ReportOf(OtherHouse),
            new WithdrawSource(8, SourceWithdrawalGround.NotGenuine, null) { By = Examiner });
        var review = Read(story);
        Assert.Equal([9L, 10], review.Opinions.Select(o => o.Entry));
        Assert.Equal([(10L, SinceKind.OtherOpinion, false), (11, SinceKind.Withdrawn, true)], review.Opinions[0].Since.Select(s => (s.Entry, s.Kind, s.UnderIt)));
        Assert.Contains(review.Cautions, c => c.Contains("declared interest", StringComparison.Ordinal));
        Assert.Contains(review.Cautions, c => c.Contains("not told who paid", StringComparison.Ordinal));
        Assert.Contains(Warranty.Text, review.Cautions);
    }

    [Fact]
    public void Each_opinion_is_computed_again_and_ranks_what_would_change_its_word()
    {
        var scene = new WeighedScene();
        var n = scene.Give();
        var review = History.Of(scene.Bat.Entries).AsCorrected().Review(scene.Streams);
        var read = Assert.Single(review.Recomputed);
        Assert.Equal((n, true), (read.Opinion, read.Holds));
        var next = read.Today!.Next[0].Next;
        Assert.NotEmpty(next);
        Assert.Contains(next, x => x.ChangesWord || x.TimesToChangeWord is > 0);
        Assert.DoesNotContain(review.Cautions, c => c.Contains("weighed by computation", StringComparison.Ordinal));
        Assert.Contains(Read(Examined().Given(Opine(2))).Cautions, c => c.Contains("weighed by computation", StringComparison.Ordinal));
    }

    [Fact]
    public void An_open_examination_in_fixed_order_is_named_first()
    {
        var review = Read(Examined().Given(Opine(2), Open(examiner: Second)));
        Assert.Equal([(6L, false, 4)], review.Openings.Select(o => (o.Examination, o.Locked, o.HeldBack)));
        Assert.Contains("is open", review.Cautions[0], StringComparison.Ordinal);
        Assert.Empty(Read(Examined()).Openings);
        Assert.Empty(Read(Examined().Given(Open(blinding: Blinding.NotBlind))).Openings);
    }
}
