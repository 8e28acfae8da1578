using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Recording;
using Microsoft.Playwright;

namespace Custody.Browser.Tests.Rooms;

/// <summary>A bat goes from one owner to the next by the word of both: nothing is recorded before the second is given, and then all of it.</summary>
public sealed class TransferFlowTests(House house) : IClassFixture<House>
{
    static CancellationToken Ct => TestContext.Current.CancellationToken;

    async Task<(PartyId Owner, StreamName Bat, string Number, IPage Page)> Begin()
    {
        var owner = await house.Server.Party("Ada Quill");
        var bat = await house.Server.Bat(owner);
        var number = (await State(bat)).Registration!.ShortNumber;
        var page = await house.As(AccountRole.Owner, owner);
        await page.GotoAsync("/mine");
        await page.GetByRole(AriaRole.Link, new() { Name = "Transfer it" }).ClickAsync();
        return (owner, bat, number, page);
    }

    async Task<Bat> State(StreamName bat) => (await house.Server.Get<BatFinder>().Find(bat.ToString(), Ct))!;

    static async Task<string> Offer(IPage page, string to, bool handedOver)
    {
        await page.GetByLabel("To whom").FillAsync(to);
        if (handedOver) await page.GetByLabel("The bat itself goes over too").CheckAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Offer it" }).ClickAsync();
        return await page.Locator("#transfer-address").InnerTextAsync();
    }

    static async Task<IPage> Confirm(IPage other, string address)
    {
        await other.GotoAsync(address);
        await other.GetByRole(AriaRole.Button, new() { Name = "Confirm the transfer" }).ClickAsync();
        return other;
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public async Task Title_and_bat_go_over_when_the_other_side_confirms_by_its_link_and_only_once(bool script)
    {
        if (house.Browser is null) return;
        var (owner, bat, number, page) = await Begin();
        var address = await Offer(page, "Bo Lark \u05D1\u05D5", handedOver: true);
        Assert.Empty(await House.Barriers(page));
        Assert.Equal(1, (await State(bat)).N);
        var other = await house.Anybody(new() { JavaScriptEnabled = script });
        await other.GotoAsync(address);
        await Assertions.Expect(other.Locator("main")).ToContainTextAsync(number);
        if (script) Assert.Empty(await House.Barriers(other));
        await Confirm(other, address);
        await Assertions.Expect(other.GetByRole(AriaRole.Status)).ToContainTextAsync("is now yours");
        var facts = (await house.Server.Get<Histories>().Shown(bat, Ct)).Select(e => e.Fact).ToList();
        Assert.Equal(["BatRegistered", "BatReleased", "BatReceived", "BatAcquired"], facts.Select(f => f.GetType().Name));
        Assert.Equal((Attestation.Account, Attestation.OneTimeLink), (((BatReleased)facts[1]).Attestation, ((BatReceived)facts[2]).Attestation));
        Assert.Equal("Bo Lark \u05D1\u05D5", facts[1].Parties!.Values.Single().Name!.Value);
        var state = await State(bat);
        Assert.Equal(state.Keeping.Custodian, Assert.Single(state.Title.Shares).Key);
        Assert.Equal(404, (await other.GotoAsync(address))!.Status);
        await page.GotoAsync("/mine");
        await Assertions.Expect(page.Locator("section.own")).ToHaveCountAsync(0);
        await Assertions.Expect(page.Locator("main")).ToContainTextAsync("No longer yours");
        Assert.NotNull(owner);
    }

    [Fact]
    public async Task An_account_of_the_other_side_confirms_for_its_own_party_and_the_owner_not_for_the_other_side()
    {
        if (house.Browser is null) return;
        var (_, bat, number, page) = await Begin();
        var address = await Offer(page, "whoever it is", handedOver: false);
        await Confirm(page, address);
        await Assertions.Expect(page.GetByRole(AriaRole.Alert)).ToContainTextAsync("the other side confirms");
        var buyer = await house.Server.Party("Bo Lark");
        var other = await Confirm(await house.As(AccountRole.Owner, buyer), address);
        await Assertions.Expect(other.GetByRole(AriaRole.Status)).ToContainTextAsync("is now yours");
        await other.GotoAsync("/mine");
        await Assertions.Expect(other.Locator("section.own")).ToContainTextAsync(number);
        Assert.Equal(2, (await State(bat)).N);
    }

    [Fact]
    public async Task An_offer_that_was_taken_back_leads_nowhere()
    {
        if (house.Browser is null) return;
        var (_, bat, _, page) = await Begin();
        var address = await Offer(page, "Bo Lark", handedOver: true);
        await page.GetByRole(AriaRole.Button, new() { Name = "Take the offer back" }).ClickAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Status)).ToContainTextAsync("taken back");
        Assert.Equal(404, (await (await house.Anybody()).GotoAsync(address))!.Status);
        Assert.Equal(1, (await State(bat)).N);
    }

    [Fact]
    public async Task What_the_rules_refuse_is_said_to_who_confirms_and_nothing_is_recorded()
    {
        if (house.Browser is null) return;
        var (owner, bat, _, page) = await Begin();
        var address = await Offer(page, "Bo Lark", handedOver: true);
        await house.Server.Do(bat, new PlaceHold([HoldScope.PassTitle], HoldGround.Payment, Custody.Evidence.Edtf.Parse("2099-01-01"), null, null) { By = owner });
        var other = await Confirm(await house.Anybody(), address);
        await Assertions.Expect(other.GetByRole(AriaRole.Alert)).ToContainTextAsync("hold");
        Assert.Equal((2, null), ((await State(bat)).N, (await State(bat)).Keeping.InTransit));
    }
}
