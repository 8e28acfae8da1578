using Custody.Evidence;
using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

public class CatalogueTests
{
    static string NameOf(PartyId party) => "Someone of " + party;

    static ClaimChecked Check(Story<Bat> story, CatalogueClaim claim)
    {
        var (check, refused) = CatalogueCheck.Of(History.Of(story.Entries).AsCorrected(), [claim]);
        Assert.Null(refused);
        return Assert.Single(check!.Claims);
    }

    static void Is(ClaimVerdict verdict, Story<Bat> story, CatalogueClaim claim, long[] supporting, long[] against)
    {
        var read = Check(story, claim);
        Assert.Equal(verdict, read.Verdict);
        Assert.Equal(supporting, read.Supporting.Select(e => e.Entry));
        Assert.Equal(against, read.Against.Select(e => e.Entry));
    }

    static FindingStated Found(FindingKind kind, Presence presence = Presence.Seen, string? text = null) => new(kind, presence, Confidence.High, SeenBy.Eye, Text: text);

    /// <summary>2 to 4: an examination with these findings, locked by entry 3.</summary>
    static Story<Bat> With(params FindingStated[] findings) => Registered().Given(Open(), Lock(2) with { Findings = findings, Layers = null }, Close(2));

    [Fact]
    public void A_maker_is_supported_by_the_mark_as_described_and_contradicted_by_another_or_its_absence()
    {
        CatalogueClaim claim = new(ClaimOf.Maker, "corrow & pell");
        Is(ClaimVerdict.Supported, With(Found(FindingKind.Maker, text: "Corrow & Pell, the open P")), claim, [3], []);
        Is(ClaimVerdict.Contradicted, With(Found(FindingKind.Maker, text: "Tollmere, the oval brand")), claim, [], [3]);
        Is(ClaimVerdict.Contradicted, With(Found(FindingKind.Maker, Presence.Absent)), claim, [], [3]);
        Is(ClaimVerdict.NotRecorded, With(Found(FindingKind.Maker)), claim, [], []);
        Is(ClaimVerdict.NotRecorded, Registered(), claim, [], []);
    }

    [Fact]
    public void A_mark_is_read_from_the_latest_examination_that_could_judge_it()
    {
        CatalogueClaim tape = new(ClaimOf.Preparation, Mark: FindingKind.Tape);
        var story = With(Found(FindingKind.Tape));
        Is(ClaimVerdict.Supported, story, tape, [3], []);
        Is(ClaimVerdict.Contradicted, story, tape with { Presence = Presence.Absent }, [], [3]);
        story.Given(Open(), Lock(5) with { Findings = [Found(FindingKind.Tape, Presence.NotAssessable)], Layers = null }, Close(5));
        Is(ClaimVerdict.Supported, story, tape, [3], []);
        story.Given(Open(), Lock(8) with { Findings = [Found(FindingKind.Tape, Presence.Absent)], Layers = null }, Close(8));
        Is(ClaimVerdict.Contradicted, story, tape, [], [9]);
        Is(ClaimVerdict.NotRecorded, story, tape with { Mark = FindingKind.Stencil }, [], []);
    }

    [Theory]
    [InlineData(1950, 1953, ClaimVerdict.Supported)]
    [InlineData(1949, 1955, ClaimVerdict.Supported)]
    [InlineData(1951, 1953, ClaimVerdict.NotRecorded)]
    [InlineData(1952, 1960, ClaimVerdict.NotRecorded)]
    [InlineData(1954, 1960, ClaimVerdict.Contradicted)]
    public void Seasons_are_supported_when_they_cover_what_was_found_and_contradicted_when_they_miss_it(int from, int to, ClaimVerdict verdict) =>
        Assert.Equal(verdict, Check(Examined().Given(Opine(2)), new(ClaimOf.Seasons, From: from, To: to)).Verdict);

    static GiveOpinion ByHim(SupportWord word, SupportFor side = SupportFor.Proposition) => Opine(2) with
    {
        Pairs = [Weigh(PropositionLevel.UsedByHim, Alternative.UsedByAnotherProfessional, side, word), Weigh(PropositionLevel.UsedByHim, Alternative.PreparedLater, side, word)],
    };

    static CatalogueClaim HisBat(SupportWord least = SupportWord.Moderate, PartyId? player = null) =>
        new(ClaimOf.Player, NameOf(player ?? Player), Level: PropositionLevel.UsedByHim, Support: least);

    [Fact]
    public void A_player_is_supported_as_strongly_as_the_present_opinion_says_against_every_alternative()
    {
        Is(ClaimVerdict.Supported, Examined().Given(ByHim(SupportWord.Moderate)), HisBat(), [5], []);
        Is(ClaimVerdict.Contradicted, Examined().Given(ByHim(SupportWord.Weak)), HisBat(), [], [5]);
        Is(ClaimVerdict.Contradicted, Examined().Given(ByHim(SupportWord.Strong, SupportFor.Alternative)), HisBat(), [], [5]);
        Is(ClaimVerdict.Contradicted, Examined().Given(ByHim(SupportWord.Strong)), HisBat(player: Owner), [], [5]);
        Is(ClaimVerdict.NotRecorded, Examined(), HisBat(), [], []);
    }

    [Fact]
    public void Houses_that_disagree_are_both_told()
    {
        var other = Open(house: OtherHouse);
        var story = Examined().Given(ByHim(SupportWord.Strong), other, Lock(6), Close(6), ByHim(SupportWord.Moderate, SupportFor.Alternative) with
        {
            House = OtherHouse,
            Grounds = new OpinionGrounds([6]),
        });
        Is(ClaimVerdict.Contradicted, story, HisBat(), [5], [9]);
    }

    [Fact]
    public void A_withdrawn_opinion_speaks_against_whoever_still_claims_it()
    {
        CatalogueClaim claim = new(ClaimOf.Opinion, NameOf(House));
        var story = Examined().Given(Opine(2));
        Is(ClaimVerdict.Supported, story, claim, [5], []);
        Is(ClaimVerdict.Contradicted, story.Given(new WithdrawOpinion(5, OpinionWithdrawalGround.Mistake, null) { By = Examiner }), claim, [], [5]);
        Is(ClaimVerdict.NotRecorded, story, HisBat(), [], []);
    }

    [Fact]
    public void A_reported_opinion_supports_a_weak_claim_only_and_shows_that_it_is_a_report()
    {
        var story = Registered().Given(ReportOf(OtherHouse) with { Player = Player, Level = PropositionLevel.UsedByHim });
        Is(ClaimVerdict.Supported, story, HisBat(SupportWord.Weak), [2], []);
        Assert.True(Check(story, HisBat(SupportWord.Weak)).OnlyReported);
        Is(ClaimVerdict.NotRecorded, story, HisBat(), [], []);
    }

    [Fact]
    public void Who_held_it_is_checked_against_the_chain_on_that_day()
    {
        var story = Registered().Given(new ReportAcquisition(
            AcquisitionKind.Gift, Player, null, null, Edtf.Parse("1955"), Edtf.Parse("1960"), AssertionBasis.Letter, null, null, null, null, null)
        { By = House });
        CatalogueClaim On(PartyId who, string when) => new(ClaimOf.Title, NameOf(who), When: Edtf.Parse(when));
        Is(ClaimVerdict.Supported, story, On(Player, "1957"), [2], []);
        Assert.True(Check(story, On(Player, "1957")).OnlyReported);
        Is(ClaimVerdict.Contradicted, story, On(Second, "1957"), [], [2]);
        Is(ClaimVerdict.NotRecorded, story, On(Player, "1960"), [], []); // possible, not certain
        Is(ClaimVerdict.NotRecorded, story, On(Second, "1930"), [], []);
        Is(ClaimVerdict.Supported, story, new(ClaimOf.Custody, NameOf(House), When: Edtf.Parse("2025")), [1], []);
    }

    [Fact]
    public void Never_treated_is_contradicted_by_any_treatment_or_sign_of_one()
    {
        CatalogueClaim claim = new(ClaimOf.Untreated);
        Is(ClaimVerdict.NotRecorded, Examined(), claim, [], []);
        Is(ClaimVerdict.Contradicted, Examined().Given(new ReportTreatment([TreatmentKind.Cleaning], Reversible.No, null, AssertionBasis.Letter, null, null) { By = House }), claim, [], [5]);
        Is(ClaimVerdict.Contradicted, With(Found(FindingKind.FilledCrack)), claim, [], [3]);
    }

    [Fact]
    public void A_picture_comparison_holds_while_its_picture_does()
    {
        var story = ComparingTests.Compared(ComparisonResult.SameWoodSurface);
        var (source, result) = (story.State.Sources.ByEntry.Keys.Single(), story.State.N);
        Is(ClaimVerdict.Supported, story, new(ClaimOf.PictureComparison), [result], []);
        Is(ClaimVerdict.NotRecorded, story, new(ClaimOf.PictureComparison, Source: source + 1), [], []);
        story.Given(new WithdrawSource(source, SourceWithdrawalGround.NotGenuine, null) { By = Examiner });
        Is(ClaimVerdict.Contradicted, story, new(ClaimOf.PictureComparison), [], [result]);
        Assert.Equal(ClaimVerdict.Contradicted, Check(ComparingTests.Compared(ComparisonResult.Inconclusive), new(ClaimOf.PictureComparison)).Verdict);
    }

    [Fact]
    public void A_claim_that_lacks_what_it_claims_is_refused() => Assert.All<CatalogueClaim>(
        [
            new(ClaimOf.Maker), new(ClaimOf.Opinion), new(ClaimOf.Seasons, From: 1950), new(ClaimOf.Seasons, From: 1953, To: 1950), new(ClaimOf.Player, "x"),
            new(ClaimOf.Player, "x", Level: PropositionLevel.UsedByHim, Support: SupportWord.Neither), new(ClaimOf.Preparation),
            new(ClaimOf.Preparation, Mark: FindingKind.Tape, Presence: Presence.NotAssessable), new(ClaimOf.Title, "x"),
            new(ClaimOf.Custody, When: Edtf.Parse("1950")),
        ],
        claim => Assert.Equal("claim-incomplete", CatalogueCheck.Of(History.Of(Registered().Entries).AsCorrected(), [claim]).Refused!.Code));

    [Fact]
    public void No_claims_are_refused_and_the_result_says_what_it_is_not()
    {
        var reading = History.Of(Registered().Entries).AsCorrected();
        Assert.Equal("no-claims", CatalogueCheck.Of(reading, []).Refused!.Code);
        Assert.Contains(Warranty.Text, CatalogueCheck.Of(reading, [new(ClaimOf.Untreated)]).Check!.Cautions);
    }
}
