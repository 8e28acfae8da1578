using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Accounts;
using Custody.Server.Readings;
using Custody.Server.Recording;
using Custody.Server.Selling;
using Microsoft.Playwright;

namespace Custody.Browser.Tests.Rooms;

/// <summary>A cataloguer's work: a bat consigned, a sale announced and built, results entered by keyboard while it runs, notices, what bidders had been told; and a
/// text checked before it is printed.</summary>
public sealed class SaleroomTests(House house) : IClassFixture<House>
{
    static CancellationToken Ct => TestContext.Current.CancellationToken;

    const string Text = "Used in play, by whom the findings do not say.", Mended = "Used in play. The handle was taped anew.";

    /// <summary>A bat of Ada's that the house keeps.</summary>
    async Task<(StreamName Bat, string Number)> Bat(PartyId owner)
    {
        var bat = await house.Server.Bat(owner, house.Party);
        return (bat, (await Reading(bat)).State.Registration!.ShortNumber);
    }

    async Task<Reading> Reading(StreamName bat) => (await house.Server.Get<ReadingDesk>().HistoryOf(bat.ToString(), Ct))!.AsCorrected();

    async Task Consign(StreamName bat, PartyId owner) =>
        await house.Server.Do(bat, new ConsignBat(owner, house.Party, Attestation.SignedPaper, null, null, null, null, null) { By = house.Party });

    static ILocator Done(IPage page) => page.Locator(".done");

    static async Task Press(IPage page, params string[] keys)
    {
        foreach (var key in keys)
            if (key is "Tab" or "Enter" or "Shift+Tab") await page.Keyboard.PressAsync(key);
            else await page.Keyboard.TypeAsync(key);
    }

    static Task IsUp(IPage page, string lot) => Assertions.Expect(page.GetByRole(AriaRole.Heading, new() { Level = 1 })).ToContainTextAsync($"Lot {lot} ");

    [Fact]
    public async Task A_sale_is_built_run_by_keyboard_alone_and_tells_afterwards_what_bidders_had_been_told()
    {
        if (house.Browser is null) return;
        var (ada, ben) = (await house.Server.Party("Ada Quill"), await house.Server.Party("Ben Orchard"));
        List<(StreamName Bat, string Number)> bats = [await Bat(ada), await Bat(ada), await Bat(ada), await Bat(ada)];
        foreach (var (bat, _) in bats.Skip(1)) await Consign(bat, ada);
        await house.Server.Indexed();
        var page = await house.As(AccountRole.Cataloguer);

        // Consigned from its own page; pressed twice, once.
        await page.GotoAsync($"/bats/{bats[0].Number}");
        await page.GetByRole(AriaRole.Link, new() { Name = "Consign it" }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Consign it" }).ClickAsync();
        await Assertions.Expect(page.Locator("#f-Consigning-Consignor-error")).ToContainTextAsync("Say who consigns it");
        await page.GetByLabel("Consigned by").SelectOptionAsync(new SelectOptionValue { Label = "Ada Quill, holds title as asserted" });
        await page.GetByRole(AriaRole.Button, new() { Name = "Consign it" }).DblClickAsync();
        await Assertions.Expect(Done(page)).ToContainTextAsync("Title stays with the consignor");
        Assert.Single((await Reading(bats[0].Bat)).State.Consignments.ByEntry);

        // Announced with its terms.
        await page.GetByRole(AriaRole.Link, new() { Name = "Sales", Exact = true }).ClickAsync();
        await page.GetByRole(AriaRole.Link, new() { Name = "Announce a sale" }).ClickAsync();
        await page.GetByLabel("Title", new() { Exact = true }).FillAsync("Sale of the long evenings");
        await page.GetByLabel("Held on").FillAsync("the third of May");
        await page.GetByLabel("Per cent, from nothing on").FillAsync("20");
        await page.GetByRole(AriaRole.Button, new() { Name = "Announce it" }).ClickAsync();
        await Assertions.Expect(page.Locator("#f-Terms-Held-error")).ToBeVisibleAsync();
        Assert.Equal("Sale of the long evenings", await page.GetByLabel("Title", new() { Exact = true }).InputValueAsync());
        await page.GetByLabel("Held on").FillAsync("2027-05-03");
        await page.GetByRole(AriaRole.Button, new() { Name = "Announce it" }).DblClickAsync();
        await Assertions.Expect(Done(page)).ToContainTextAsync("The sale is announced");
        var sale = (await house.Server.Get<SaleDesk>().Heads(Ct)).Single(h => h.Terms.Title == "Sale of the long evenings");

        // Built: a lot from the list of what waits, the next number at hand.
        await page.GetByRole(AriaRole.Link, new() { Name = bats[0].Number }).ClickAsync();
        Assert.Equal("1", await page.GetByLabel("Lot number").InputValueAsync());
        await page.GetByLabel("Title of the lot").FillAsync("A bat with a taped handle");
        await page.GetByLabel("Text", new() { Exact = true }).FillAsync(Text);
        await page.GetByLabel("Estimate, low").FillAsync("8,000");
        await page.GetByLabel("Estimate, high").FillAsync("6000");
        await page.GetByRole(AriaRole.Button, new() { Name = "Offer it" }).ClickAsync();
        await Assertions.Expect(page.Locator("#f-Offering-High-error")).ToContainTextAsync("below the low one");
        Assert.Equal(Text, (await page.GetByLabel("Text", new() { Exact = true }).InputValueAsync()).Trim());
        await page.GetByLabel("Estimate, low").FillAsync("4,000");
        await page.GetByRole(AriaRole.Button, new() { Name = "Offer it" }).DblClickAsync();
        await Assertions.Expect(Done(page)).ToContainTextAsync("offered as lot 1");
        for (var i = 1; i < bats.Count; i++)
            await house.Server.Do(bats[i].Bat, new OfferLot(sale.InForce, $"{i + 1}", 1, house.Party, null, null, $"Bat {i + 1}", Text, Money.Parse("500.00", "USD"), null, null) { By = house.Party });

        // A number that is taken is refused in words; a lot gets another number in one act, and comes in its order.
        await page.GotoAsync($"{sale.Address}/lots/4");
        await page.GetByText("Give it another number").ClickAsync();
        await page.GetByLabel("New number").FillAsync("2");
        await page.GetByRole(AriaRole.Button, new() { Name = "Change the number" }).ClickAsync();
        await Assertions.Expect(page.Locator("#f-NewNumber-error")).ToContainTextAsync("taken");
        await page.GetByLabel("New number").FillAsync("12");
        await page.GetByRole(AriaRole.Button, new() { Name = "Change the number" }).ClickAsync();
        await Assertions.Expect(Done(page)).ToContainTextAsync("is lot 12 now");
        Assert.Equal(["1", "2", "3", "12"], (await house.Server.Get<SaleDesk>().Lines(sale.Stream, Ct)).Select(l => l.Number));

        // Paddles are given out by name; a notice changes the text.
        await page.GotoAsync($"{sale.Address}/paddles");
        await page.GetByLabel("Paddle", new() { Exact = true }).FillAsync("214");
        await page.GetByLabel("Bidder", new() { Exact = true }).FillAsync("Ben Orchard");
        await page.GetByRole(AriaRole.Radio, new() { Name = "Ben Orchard person" }).CheckAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Give it out" }).ClickAsync();
        await Assertions.Expect(Done(page)).ToContainTextAsync("Paddle 214 is given out");
        await page.GotoAsync($"{sale.Address}/lots/1");
        await page.GetByLabel("Text from now on").FillAsync(Mended);
        await page.GetByRole(AriaRole.Button, new() { Name = "Give the notice" }).ClickAsync();
        await Assertions.Expect(Done(page)).ToContainTextAsync("The notice stands");

        // Run by keyboard alone: from here to the close nothing is clicked on the results screen.
        await page.GotoAsync(sale.Address);
        await page.GetByRole(AriaRole.Button, new() { Name = "Open the sale" }).ClickAsync();
        await IsUp(page, "1");
        await Press(page, "5,500", "Tab", "214", "Enter");
        await Assertions.Expect(Done(page)).ToContainTextAsync("Lot 1 is sold at 5500 USD to paddle 214");
        await IsUp(page, "2");
        // The back button brings no lot back that has its result.
        await page.GoBackAsync();
        await IsUp(page, "2");
        await Press(page, "p", "Enter");
        await Assertions.Expect(Done(page)).ToContainTextAsync("Lot 2 passed without a bid");
        await IsUp(page, "3");
        await Press(page, "900", "Tab", "999", "Enter");
        await Assertions.Expect(page.Locator("#f-Result-Paddle-error")).ToContainTextAsync("given out to nobody");
        Assert.Equal("900", await page.GetByLabel("Hammer price").InputValueAsync());
        await Press(page, "Tab", "214", "Enter");
        await Assertions.Expect(Done(page)).ToContainTextAsync("Lot 3 is sold at 900 USD to paddle 214");
        await IsUp(page, "12");
        Assert.Empty(await House.Barriers(page));

        // Two cataloguers on one lot, the other without script: one result stands, the other is told, and nothing typed is lost.
        var other = await house.As(AccountRole.Cataloguer, options: new() { JavaScriptEnabled = false });
        await other.GotoAsync($"{sale.Address}/run?lot=12");
        await other.GetByLabel("Hammer price").FillAsync("700");
        await other.GetByLabel("Paddle", new() { Exact = true }).FillAsync("214");
        var submission = await page.Locator("main form input[name=Submission]").First.InputValueAsync();
        await Press(page, "650", "Tab", "214", "Enter");
        await Assertions.Expect(Done(page)).ToContainTextAsync("Lot 12 is sold at 650 USD");
        await other.GetByRole(AriaRole.Button, new() { Name = "Sold" }).ClickAsync();
        await Assertions.Expect(other.Locator(".refusals")).ToContainTextAsync("Somebody else recorded something here");
        await Assertions.Expect(other.Locator(".up")).ToContainTextAsync("sold at 650 USD to paddle 214");
        Assert.Single((await Reading(bats[3].Bat)).State.Sales.ByEntry);

        // Brought back and changed, a form that was sent before is not taken for what it says now.
        await page.GotoAsync($"{sale.Address}/run?lot=12");
        await page.GotoAsync($"{sale.Address}/lots/12/result");
        await page.GetByLabel("What was wrong").First.FillAsync("the neighbour's paddle");
        await page.GetByRole(AriaRole.Button, new() { Name = "Take the result back" }).ClickAsync();
        await IsUp(page, "12");
        await page.Locator("main form input[name=Submission]").First.EvaluateAsync("(e, v) => e.value = v", submission);
        await Press(page, "777", "Tab", "214", "Enter");
        await Assertions.Expect(page.Locator(".refusals")).ToContainTextAsync("This form was sent before");
        Assert.DoesNotContain((await Reading(bats[3].Bat)).State.Sales.ByEntry.Values, s => s.Standing == SaleStanding.Agreed);
        await Press(page, "Enter");
        await Assertions.Expect(Done(page)).ToContainTextAsync("Lot 12 is sold at 777 USD");

        // A price typed wrongly is mended by an act of its own; the entry before stays.
        await page.GotoAsync($"{sale.Address}/lots/3/result");
        await page.GetByLabel("Hammer price, USD").FillAsync("950");
        await page.GetByLabel("What was wrong").Nth(1).FillAsync("misread");
        await page.GetByRole(AriaRole.Button, new() { Name = "Mend it" }).ClickAsync();
        await Assertions.Expect(page.Locator("main")).ToContainTextAsync("sold at 950 USD to paddle 214");
        Assert.Equal("900", ((BatSold)(await house.Server.Get<Histories>().Shown(bats[2].Bat, Ct)).Last(e => e.Fact is BatSold).Fact).Hammer!.Value.Amount.ToString());

        // Passed, and sold after the sale, to a name.
        await page.GotoAsync($"{sale.Address}/lots/2/result");
        await page.GetByLabel("Price agreed, USD").FillAsync("450");
        await page.GetByLabel("Buyer", new() { Exact = true }).FillAsync("Ben Orchard");
        await page.GetByRole(AriaRole.Radio, new() { Name = "Ben Orchard person" }).CheckAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Record the sale" }).ClickAsync();
        await Assertions.Expect(Done(page)).ToContainTextAsync("sold after the sale");

        // What bidders had been told: the text after the notice, the notice itself, the opinions then; an opinion given since is not among them.
        await house.Server.Do(bats[0].Bat, new ReportOpinion(
            house.Party, null, null, PropositionLevel.UsedByHim, ReportedConclusion.Supports, AssertionBasis.Letter, FeeTerms.NotStated, null, null, null, "said after the sale", null)
        { By = house.Party });
        await page.GotoAsync($"{sale.Address}/lots/1");
        await Assertions.Expect(page.Locator("dl.told")).ToContainTextAsync(Mended);
        await Assertions.Expect(page.Locator("dl.told")).ToContainTextAsync("saleroom notice");
        await Assertions.Expect(page.Locator("dl.told")).ToContainTextAsync("none stood");
        await Assertions.Expect(page.Locator(".notice")).ToContainTextAsync(Text);
        Assert.Empty(await House.Barriers(page));
        await page.GotoAsync(sale.Address);
        await page.GetByRole(AriaRole.Button, new() { Name = "Close the sale" }).ClickAsync();
        await Assertions.Expect(Done(page)).ToContainTextAsync("The sale is over");
        await Assertions.Expect(page.GetByRole(AriaRole.Row).Filter(new() { HasText = "A bat with a taped handle" })).ToContainTextAsync("5,500 USD");
    }

    [Fact]
    public async Task A_lot_of_several_bats_has_one_result_for_all_of_them_and_none_while_another_came_in_unseen()
    {
        if (house.Browser is null) return;
        var (ada, ben) = (await house.Server.Party("Ada Quill"), await house.Server.Party("Corwin Ashby"));
        List<(StreamName Bat, string Number)> bats = [await Bat(ada), await Bat(ada), await Bat(ada)];
        foreach (var (bat, _) in bats) await Consign(bat, ada);
        var sale = StreamName.Parse("sale/" + bats[0].Bat.Id);
        var terms = (await house.Server.Do(sale, new AnnounceSale(new(
            SaleForm.Saleroom, null, TitlePassing.OnFullPayment, PricePublication.Published, PremiumRule.None, null, 14, "Sale of pairs", null, null, null, null))
        { By = house.Party }))[0];
        await house.Server.Get<PaddleBook>().Give(sale, "7", ben, Ct);
        var page = await house.As(AccountRole.Cataloguer, options: new() { JavaScriptEnabled = false });
        await page.GotoAsync($"/bats/{bats[0].Number}/offer?sale={sale.Id}");
        await page.GetByLabel("Further bats of the same lot").FillAsync($"{bats[1].Number}, 1234567X");
        await page.GetByRole(AriaRole.Button, new() { Name = "Offer it" }).ClickAsync();
        await Assertions.Expect(page.Locator("#f-Offering-Others-error")).ToContainTextAsync("no bat 1234567X");
        await page.GetByLabel("Further bats of the same lot").FillAsync(bats[1].Number);
        await page.GetByRole(AriaRole.Button, new() { Name = "Offer it" }).ClickAsync();
        await Assertions.Expect(Done(page)).ToContainTextAsync("2 bats are offered as lot 1");
        await page.GetByRole(AriaRole.Button, new() { Name = "Open the sale" }).ClickAsync();

        // Another bat comes into the lot while the price is typed: what was seen is not what would be sold.
        await house.Server.Do(bats[2].Bat, new OfferLot(new(null, sale, terms.N, terms.Hash), "1", 3, house.Party, null, null, null, null, null, null, null) { By = house.Party });
        await Sell(page);
        await Assertions.Expect(page.Locator(".refusals")).ToContainTextAsync("Another bat was put into this lot");
        Assert.Equal("120", await page.GetByLabel("Hammer price").InputValueAsync());
        foreach (var (bat, _) in bats) Assert.Empty((await Reading(bat)).State.Sales.ByEntry);
        await Sell(page);
        await Assertions.Expect(Done(page)).ToContainTextAsync("Lot 1 is sold at 120 USD to paddle 7");
        foreach (var (bat, _) in bats) Assert.Equal(SaleStanding.Agreed, Assert.Single((await Reading(bat)).State.Sales.ByEntry.Values).Standing);
        await page.GotoAsync($"/sales/{sale.Id}/lots/1/result");
        await page.GetByLabel("What was wrong").First.FillAsync("no hammer fell");
        await page.GetByRole(AriaRole.Button, new() { Name = "Take the result back" }).ClickAsync();
        await IsUp(page, "1");
        foreach (var (bat, _) in bats) Assert.Equal(LotStanding.Offered, (await Reading(bat)).State.Lots.Open!.Value.Value.Standing);
    }

    static async Task Sell(IPage page)
    {
        await page.GetByLabel("Hammer price").FillAsync("120");
        await page.GetByLabel("Paddle", new() { Exact = true }).FillAsync("7");
        await page.GetByRole(AriaRole.Button, new() { Name = "Sold" }).ClickAsync();
    }

    [Fact]
    public async Task A_text_is_checked_claim_by_claim_each_with_the_entry_that_bears_on_it_and_nothing_is_kept()
    {
        if (house.Browser is null) return;
        var (bat, number) = await Bat(await house.Server.Party("Ada Quill"));
        await house.Server.Do(bat, new ReportOpinion(
            house.Party, null, null, PropositionLevel.UsedInPlay, ReportedConclusion.Supports, AssertionBasis.Letter, FeeTerms.NotStated, null, null, null, null, null)
        { By = house.Party });
        await house.Server.Do(bat, new ReportTreatment([TreatmentKind.Cleaning], Reversible.No, null, AssertionBasis.HoldersWord, null, null) { By = house.Party });
        var before = (await Reading(bat)).State.N;
        // Without script: one row after another comes from the server.
        var page = await house.As(AccountRole.Cataloguer, options: new() { JavaScriptEnabled = false });
        await page.GotoAsync($"/bats/{number}/catalogue");
        foreach (var kind in new[] { "Maker", "Opinion", "Untreated" })
        {
            await page.GetByLabel("The text claims").SelectOptionAsync(kind);
            await page.GetByRole(AriaRole.Button, new() { Name = "Add the claim" }).ClickAsync();
        }
        await page.GetByRole(AriaRole.Button, new() { Name = "Check the 3 claims" }).ClickAsync();
        await Assertions.Expect(page.Locator(".refusals")).ToContainTextAsync("lacks what it claims");
        await page.GetByLabel("Maker", new() { Exact = true }).FillAsync("Thornbury");
        await page.GetByLabel("House", new() { Exact = true }).FillAsync("Northgate Rooms");
        await page.GetByRole(AriaRole.Button, new() { Name = "Check the 3 claims" }).ClickAsync();
        Assert.Equal(["not recorded", "supported", "contradicted"], await page.Locator("fieldset.claim .stamp").AllInnerTextsAsync());
        await Assertions.Expect(page.Locator("fieldset.claim").Nth(1)).ToContainTextAsync("by reports alone");
        await Assertions.Expect(page.Locator("fieldset.claim").Nth(2).GetByRole(AriaRole.Link)).ToHaveTextAsync($"entry {before}");
        await page.GetByRole(AriaRole.Button, new() { Name = "Take claim 1 out" }).ClickAsync();
        Assert.Equal("Northgate Rooms", await page.GetByLabel("House", new() { Exact = true }).InputValueAsync());
        Assert.Equal(before, (await Reading(bat)).State.N);
    }
}
