using Custody.Evidence;
using static Custody.Bats.Tests.Cast;

namespace Custody.Bats.Tests;

public class ChainTests
{
    static ReportAcquisition Acquired(PartyId holder, string? from, string? until, PartyId? outOf = null, Fraction? share = null) => new(
        AcquisitionKind.Purchase, holder, share, outOf, from is null ? null : Edtf.Parse(from), until is null ? null : Edtf.Parse(until),
        AssertionBasis.Letter, [Irregularity.CopyOnly], null, null, null, null)
    { By = House };

    static ReportCustody Kept(PartyId keeper, string from, string until) => new(
        keeper, CustodyCapacity.Player, Edtf.Parse(from), Edtf.Parse(until), AssertionBasis.HoldersWord, null, null, null, null)
    { By = House };

    static History Of(Story<Bat> story) => History.Of(story.Entries);

    static IEnumerable<(Alias, Certainty)> Held(IReadOnlyList<HeldOn> held) => held.Select(h => (h.Holders.Single().Who.Alias, h.Certainty));

    [Fact]
    public void Who_held_it_in_1961_is_told_as_certain_or_possible()
    {
        var story = ABat().Given(Acquired(Agent, "1955", "1961-06-01"), Acquired(Stranger, "1961-06-01", "1970"));
        var (agent, stranger) = (story.AliasOf(Agent), story.AliasOf(Stranger));
        Assert.Equal([(agent, Certainty.Possible), (stranger, Certainty.Possible)], Held(Of(story).On(Edtf.Parse("1961")).Title));
        Assert.Equal([(agent, Certainty.Certain)], Held(Of(story).On(Edtf.Parse("1960")).Title));
        Assert.Equal([(stranger, Certainty.Certain)], Held(Of(story).On(Edtf.Parse("1969")).Title));
        Assert.Equal([(stranger, Certainty.Possible)], Held(Of(story).On(Edtf.Parse("1970-12-31")).Title));
        Assert.Empty(Of(story).On(Edtf.Parse("1950")).Title);
    }

    [Fact]
    public void The_present_holder_by_an_act_still_holds_and_a_report_without_an_end_only_may()
    {
        var story = ABat().Given(Acquired(Stranger, "1955", null));
        Assert.Equal(
            [(story.AliasOf(Stranger), Certainty.Possible), (story.AliasOf(Owner), Certainty.Certain)], Held(Of(story).On(Edtf.Parse("2025")).Title));
    }

    [Fact]
    public void Gaps_and_overlaps_come_from_the_dates()
    {
        var story = ABat().Given(
            Acquired(Agent, "1950-01-01", "1955-01-01"), Acquired(Stranger, "1954-01-01", "1960-01-01"), Acquired(Buyer, "1965-01-01", "1970-01-01"));
        var links = Of(story).AsCorrected().TitleChain().Links;
        Assert.Equal([2L, 3, 4, 1], links.Select(l => l.Entry));
        Assert.Equal((3L, Certainty.Certain), (links[0].Overlaps[0].Entry, links[0].Overlaps[0].Certainty));
        Assert.Equal(new DayCount(365, 365), links[0].Overlaps[0].Days);
        Assert.Equal(Certainty.Certain, links[1].GapToNext?.Certainty);
        Assert.Equal(new DayCount(1826, 1826), links[1].GapToNext?.Days); // 1960-01-02 to 1964-12-31, leap years 1960 and 1964
        Assert.Null(links[^1].GapToNext);
    }

    [Fact]
    public void Shares_that_fit_beside_each_other_do_not_overlap()
    {
        var half = new Fraction(1, 2);
        var story = ABat().Given(Acquired(Agent, "1950", "1960", share: half), Acquired(Stranger, "1950", "1960", share: half));
        Assert.Empty(Of(story).AsCorrected().TitleChain().Links[0].Overlaps);
        story.Given(Acquired(Buyer, "1955", "1958", share: new Fraction(2, 3)));
        Assert.All(Of(story).AsCorrected().TitleChain().Links.Take(2), l => Assert.Contains(4L, l.Overlaps.Select(o => o.Entry)));
    }

    [Fact]
    public void Acts_and_reports_are_told_apart_with_what_they_rest_on()
    {
        var story = ABat().Given(Acquired(Stranger, null, "1960", outOf: Agent));
        var links = Of(story).AsCorrected().TitleChain().Links;
        Assert.Equal((LinkKind.Report, AssertionBasis.Letter), (links[0].Kind, links[0].Basis));
        Assert.Equal([Irregularity.CopyOnly], links[0].Irregularities);
        Assert.Equal([LinkRemark.Undated, LinkRemark.NotFromTheHolderBefore], links[0].Remarks);
        Assert.Equal((LinkKind.Act, AssertionBasis.HoldersWord), (links[1].Kind, links[1].Basis));
    }

    [Fact]
    public void A_report_that_names_a_holder_told_of_elsewhere_carries_no_such_remark()
    {
        var story = ABat().Given(Acquired(Agent, "1950", "1955"), Acquired(Stranger, "1955", "1960", outOf: Agent));
        Assert.Empty(Of(story).AsCorrected().TitleChain().Links[1].Remarks);
    }

    [Fact]
    public void Custody_runs_through_transit_and_shows_how_each_side_attested_it()
    {
        var story = ABat().Given(Release(House, Buyer, attestation: Attestation.OneTimeLink), Receive(Buyer, 2, attestation: Attestation.SignedPaper));
        var links = Of(story).AsCorrected().CustodyChain().Links;
        Assert.Equal([LinkState.Held, LinkState.InTransit, LinkState.Held], links.Select(l => l.State));
        Assert.Equal((Attestation.OneTimeLink, Attestation.SignedPaper), (links[2].Given, links[2].Taken));
        Assert.Equal(story.AliasOf(Buyer), links[2].Holders.Single().Who.Alias);
    }

    [Fact]
    public void What_nobody_knows_stands_apart_from_the_links()
    {
        var story = ABat().Given(new ReportMissing(MissingKind.Stolen, AssertionBasis.HoldersWord, null, null, null, null) { By = House });
        var chain = Of(story).AsCorrected().CustodyChain();
        Assert.Equal([2L], chain.NotKnown.Select(l => l.Entry));
        Assert.Single(chain.Links);
    }

    [Fact]
    public void A_stated_gap_stands_in_the_chain_it_was_stated_for()
    {
        var story = ABat().Given(new StateGap(GapIn.Title, Edtf.Parse("1960"), Edtf.Parse("1965"), null, null, null) { By = House });
        Assert.Equal([2L], Of(story).AsCorrected().TitleChain().StatedGaps.Select(g => g.Entry));
        Assert.Empty(Of(story).AsCorrected().CustodyChain().StatedGaps);
    }

    [Fact]
    public void A_void_report_leaves_the_chain_from_the_moment_it_was_voided()
    {
        var story = ABat().Given(Kept(Stranger, "1950", "1960"));
        story.At("2024-06-01").Given(new CorrectEntry(CorrectionKind.DidNotHappen, story.Entries[1].Reference, null, null, null, null, null, null) { By = House });
        Assert.Equal([1L], Of(story).AsCorrected().CustodyChain().Links.Select(l => l.Entry));
        var before = new DateTimeOffset(2024, 5, 31, 23, 59, 59, TimeSpan.Zero);
        Assert.Equal([2L, 1], Of(story).AsRecorded(before).CustodyChain().Links.Select(l => l.Entry));
    }

    [Fact]
    public void A_corrected_date_moves_the_link_from_the_moment_it_was_corrected()
    {
        var story = ABat().Given(Kept(Stranger, "1950", "1960"));
        story.At("2024-06-01").Given(new CorrectEntry(
            CorrectionKind.Clerical, story.Entries[1].Reference, "/body/until", new OpenValue([], [], [], null, Edtf.Parse("1961")), null, null, null, null)
        { By = House });
        Assert.Equal("1961", Of(story).AsCorrected().CustodyChain().Links[0].To?.Text);
        Assert.Equal("1960", Of(story).AsRecorded(new DateTimeOffset(2024, 5, 1, 0, 0, 0, TimeSpan.Zero)).CustodyChain().Links[0].To?.Text);
    }
}
