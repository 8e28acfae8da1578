using Custody.Evidence;
using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

public class BlindFirstTests
{
    /// <summary>1 registered, 2-4 an earlier examination by the second examiner, 5 a print, 6 a factory record, 7 a bought-for report, 8 the second
    /// examiner's opinion, 9 a reply to it, 10 a letter of another house, 11 the bench's own examination.</summary>
    static Story<Bat> Before(Blinding blinding = Blinding.FixedOrder) => Registered().Given(
        Open(examiner: Second), Lock(2, Second), Close(2, Second), Cite(), Cite(SourceKind.FactoryRecord, PlayShown.NotAPicture),
        new ReportAcquisition(
            AcquisitionKind.Purchase, Owner, null, null, Edtf.Parse("1966"), null, AssertionBasis.Letter, null, Money.Parse("40.00", "USD"), null, "bought", null)
        { By = House },
        Opine(2) with { Examiners = [Second], By = Second }, new RecordReply(8, Owner, ReplyStance.Asks, "why?", null) { By = House }, ReportOf(OtherHouse),
        Open(blinding: blinding));

    static BlindView Read(Story<Bat> story, long examination = 11) => History.Of(story.Entries).AsCorrected().Blind(examination)!;

    static Unmask Show(Stage stage, SeenHow how = SeenHow.Opened, params long[] entries) => new(11, stage, how, entries, [], "what", "an effect") { By = Examiner };

    [Fact]
    public void An_open_examination_sees_the_bat_and_nothing_that_could_sway()
    {
        var bench = Read(Before());
        Assert.Equal(
            [
                (2L, Stage.OthersOpinions), (3, Stage.OthersOpinions), (4, Stage.OthersOpinions), (5, Stage.Sources), (6, Stage.FactoryRecord), (7, Stage.Price),
                (8, Stage.OthersOpinions), (9, Stage.OthersOpinions), (10, Stage.OthersOpinions),
            ],
            bench.HeldBack.Select(h => (h.Entry, h.Stage)));
        Assert.Equal([1L, 11], bench.Seen);
        Assert.Empty(bench.Next);
    }

    [Fact]
    public void What_is_unmasked_in_turn_is_seen_and_what_is_passed_stays_closed()
    {
        var story = Before().Given(Lock(11), Show(Stage.Sources, entries: 5));
        Assert.Equal([1L, 5, 11, 12, 13], Read(story).Seen);
        Assert.Equal([Stage.Sources, Stage.FactoryRecord, Stage.OwnEarlierFindings, Stage.OthersOpinions, Stage.Price], Read(story).Next);
        Assert.Equal([1L, 5, 8, 11, 12, 13, 14], Read(story.Given(Show(Stage.OthersOpinions, entries: 8))).Seen);
        Assert.Equal([Stage.OthersOpinions, Stage.Price], Read(story).Next);
    }

    [Fact]
    public void Nothing_of_a_later_stage_is_shown_under_the_name_of_an_earlier_one()
    {
        var story = Before().Given(Lock(11));
        Assert.Equal("shown-before-its-stage", story.Refused(Show(Stage.Sources, entries: 8)));
        Assert.Equal("shown-before-its-stage", story.Refused(Show(Stage.Sources, entries: [5, 6])));
        story.Given(Show(Stage.FactoryRecord, entries: [5, 6]), Show(Stage.OthersOpinions, SeenHow.ByAccident, 8));
        // Not blind keeps no order.
        Before(Blinding.NotBlind).Given(Lock(11), Show(Stage.HabitFile, entries: 8));
    }

    [Fact]
    public void What_was_seen_by_accident_is_no_longer_held_back_and_the_rest_is()
    {
        var story = Before().Given(Show(Stage.Price, SeenHow.ByAccident, 7), Lock(11));
        Assert.Equal([1L, 7, 11, 12, 13], Read(story).Seen);
        Assert.Equal(6, Read(story).Next.Count);
    }

    [Fact]
    public void An_examiners_own_opinion_comes_before_others()
    {
        var story = Before().Given(Lock(11), Close(11), Opine(11), Open());
        var bench = Read(story, 15);
        Assert.Equal([11L, 12, 13, 14], bench.HeldBack.Where(h => h.Stage == Stage.OwnEarlierFindings).Select(h => h.Entry));
        Assert.Equal([15L], bench.Seen.Where(n => n > 10));
    }

    [Fact]
    public void Corrections_and_withdrawals_are_held_back_with_what_they_speak_of()
    {
        var story = Before().Given(new WithdrawSource(5, SourceWithdrawalGround.NotGenuine, "a copy") { By = House }, new WithdrawOpinion(8, OpinionWithdrawalGround.SourceFell, "it fell") { By = Second });
        Assert.Equal([(12L, Stage.Sources), (13, Stage.OthersOpinions)], Read(story).HeldBack.Where(h => h.Entry > 11).Select(h => (h.Entry, h.Stage)));
    }

    [Fact]
    public void Not_blind_and_closed_hold_nothing_back_and_say_so()
    {
        var open = Read(Before(Blinding.NotBlind));
        Assert.Empty(open.HeldBack);
        Assert.Contains(open.Words, w => w.Contains("not blind", StringComparison.Ordinal));
        var closed = Read(Before().Given(Lock(11), Close(11)));
        Assert.Empty(closed.HeldBack);
        Assert.Equal(13, closed.Seen.Count);
        Assert.Null(History.Of(Before().Entries).AsCorrected().Blind(5));
    }

    [Fact]
    public void Every_act_that_can_carry_an_amount_is_held_back()
    {
        // Read off the shapes: an act with a price that is added later is held back without anybody thinking of it.
        var priced = Shapes.Names.Select(Shapes.Find).Where(t => t!.IsAssignableTo(typeof(BatFact)) && Shapes.Of(t).Any(m => m.PropertyType == typeof(Withheld<Money>)));
        Assert.Equal(
            ["AcquisitionReported", "BatAcquired", "BatConsigned", "BatSold", "EntryCorrected", "InsurerSettled", "LotAmended", "LotOffered", "LotPassed", "LotReoffered", "PaymentRecorded"],
            priced.Select(t => t!.Name));
    }

    static ExaminationOrder Order(Story<Bat> story) => History.Of(story.Entries).AsCorrected().Examined()[^1];

    [Fact]
    public void A_finding_changed_after_an_unmasking_shows_both_and_after_what()
    {
        var story = Before().Given(Lock(11), Show(Stage.Sources, entries: 5), new ReviseFindings(
            11, RevisionCause.AfterUnmasking, [new(1, RevisionKind.Replaced, Tape(Confidence.Low)), new(3, RevisionKind.Added, PineTar(Confidence.Low))], null, null,
            "The print shows rings, not a spiral")
        { By = Examiner });
        var read = Order(story);
        Assert.Equal([Confidence.Moderate, Confidence.Low], read.Findings[0].Versions.Select(v => v.Confidence));
        Assert.Equal(((Stage?)null, (Stage?)Stage.Sources), (read.Findings[0].Versions[0].After, read.Findings[0].Versions[1].After));
        Assert.Equal((RevisionCause.AfterUnmasking, "The print shows rings, not a spiral"), (read.Findings[0].Versions[1].Cause!.Value, read.Findings[0].Versions[1].Reason));
        Assert.Equal([BenchStepKind.Opened, BenchStepKind.Locked, BenchStepKind.Unmasked, BenchStepKind.Revised], read.Steps.Select(s => s.Kind));
        Assert.Contains("f1 (tape) was changed after sources had been opened (entry 14, after unmasking): seen, moderate confidence before; seen, low confidence now.", read.Words);
        Assert.Contains(read.Words, w => w.StartsWith("f3 was added after sources", StringComparison.Ordinal));
        Assert.True(read.OrderKept);
    }

    [Fact]
    public void A_broken_order_shows_and_the_words_claim_no_more_than_was_opened_here()
    {
        var broken = Order(Before().Given(Show(Stage.Price, SeenHow.ByAccident, 7), Lock(11)));
        Assert.False(broken.OrderKept);
        Assert.Contains(broken.Words, w => w.Contains("price (entry 12, by accident)", StringComparison.Ordinal));
        Assert.Null(Order(Before(Blinding.NotBlind)).OrderKept);
        Assert.Contains("Nothing was opened through this ledger besides the bat.", Order(Before().Given(Lock(11))).Words);
        Assert.All(new[] { broken, Order(Before()) }, e => Assert.Contains("What was seen or heard elsewhere it does not know.", e.Words[^1], StringComparison.Ordinal));
    }

    [Fact]
    public void The_order_stands_beside_the_opinion()
    {
        var story = Before().Given(Lock(11), Close(11), Opine(11));
        var opinion = History.Of(story.Entries).AsCorrected().Opinions().Opinions[^1];
        Assert.Equal([11L], opinion.Examined.Select(e => e.Entry));
        Assert.True(opinion.Examined[0].OrderKept);
    }

    [Fact]
    public void A_void_revision_leaves_the_finding_as_it_was()
    {
        var story = Before().Given(Lock(11), new ReviseFindings(11, RevisionCause.Mistake, [new(1, RevisionKind.TakenBack, Tape())], null, null, "no tape") { By = Examiner });
        Assert.Null(Order(story).Findings[0].Now);
        story.Given(new CorrectEntry(CorrectionKind.DidNotHappen, story.Entries[12].Reference, null, null, null, null, null, "entered twice") { By = House });
        Assert.Single(Order(story).Findings[0].Versions);
    }
}
