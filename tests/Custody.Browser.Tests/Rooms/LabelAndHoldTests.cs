using System.Text;
using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Recording;
using Microsoft.Playwright;

namespace Custody.Browser.Tests.Rooms;

/// <summary>A registrar's labels and holds: issued and printed, replaced, voided; placed and lifted.</summary>
public sealed class LabelAndHoldTests(House house) : IClassFixture<House>
{
    async Task<(StreamName Bat, string Number)> Bat()
    {
        var bat = await house.Server.Bat(await house.Server.Party("Ada Quill"), house.Party);
        return (bat, (await State(bat)).Registration!.ShortNumber);
    }

    async Task<Bat> State(StreamName bat) => (await house.Server.Get<BatFinder>().Find(bat.ToString(), CancellationToken.None))!;

    [Fact]
    public async Task A_label_is_issued_printed_replaced_and_voided_each_once_and_each_with_its_reason()
    {
        if (house.Browser is null) return;
        var (bat, number) = await Bat();
        var page = await house.As(AccountRole.Registrar);
        await page.GotoAsync($"/bats/{number}");
        await page.GetByRole(AriaRole.Link, new() { Name = "Print a label" }).ClickAsync();
        await Assertions.Expect(page.Locator(".empty")).ToContainTextAsync("No label was issued yet");

        await page.GetByLabel("Host in its address").FillAsync("not a host");
        await page.GetByRole(AriaRole.Button, new() { Name = "Issue it" }).ClickAsync();
        await Assertions.Expect(page.Locator("#f-Label-Host-error")).ToContainTextAsync("not a host name");
        Assert.Equal("not a host", await page.GetByLabel("Host in its address").InputValueAsync());
        await page.GetByLabel("Host in its address").FillAsync("house.example");
        // Pressed twice before the answer is there: one label.
        await page.GetByRole(AriaRole.Button, new() { Name = "Issue it" }).DblClickAsync();
        await Assertions.Expect(page.Locator(".done")).ToContainTextAsync("Label 1 is issued");
        Assert.Single((await State(bat)).Labels.ByEntry);

        // The sheet that comes out of the printer is a PDF of this label, once its entry is published.
        var download = await page.RunAndWaitForDownloadAsync(() => page.GetByRole(AriaRole.Button, new() { Name = "Print label 1" }).ClickAsync());
        Assert.Equal($"{number}.label-1.pdf", download.SuggestedFilename);
        var sheet = await File.ReadAllBytesAsync((await download.PathAsync())!, TestContext.Current.CancellationToken);
        Assert.Equal("%PDF-", Encoding.ASCII.GetString(sheet, 0, 5));

        await page.GetByLabel("It takes the place of").SelectOptionAsync(new SelectOptionValue { Index = 1 });
        await page.GetByRole(AriaRole.Button, new() { Name = "Issue it" }).ClickAsync();
        await Assertions.Expect(page.Locator("#f-Label-Ground-error")).ToBeVisibleAsync();
        await page.GetByLabel("Why the earlier one no longer serves").SelectOptionAsync("Damaged");
        await page.GetByRole(AriaRole.Button, new() { Name = "Issue it" }).ClickAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Region, new() { Name = "Label 1", Exact = true }).Locator(".stamp")).ToHaveTextAsync("replaced");

        await page.GetByText("Void it without a new one").ClickAsync();
        await page.GetByLabel("Why it no longer serves").SelectOptionAsync("Lost");
        await page.GetByRole(AriaRole.Button, new() { Name = "Void label 2" }).ClickAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Region, new() { Name = "Label 2", Exact = true }).Locator(".stamp")).ToHaveTextAsync("void");
        var state = await State(bat);
        Assert.Equal(2, state.Labels.ByEntry.Count);
        Assert.DoesNotContain(state.Labels.ByEntry.Keys, n => state.Labels.IsGood(n, state.Corrections));
        Assert.Empty(await House.Barriers(page));
    }

    [Fact]
    public async Task A_hold_is_placed_with_a_scope_and_lifted_by_who_placed_it_with_a_reason()
    {
        if (house.Browser is null) return;
        var (bat, number) = await Bat();
        // Without script, too.
        var page = await house.As(AccountRole.Registrar, options: new() { JavaScriptEnabled = false });
        await page.GotoAsync($"/bats/{number}/hold");
        await Assertions.Expect(page.Locator(".caution").First).ToContainTextAsync("local law and licensed practice");
        await page.GetByLabel("Look at it again on").FillAsync("2001-01-01");
        await page.GetByLabel("Ground").SelectOptionAsync("TitleDispute");
        await page.GetByRole(AriaRole.Button, new() { Name = "Place the hold" }).ClickAsync();
        await Assertions.Expect(page.Locator(".refusals")).ToContainTextAsync("Say what it stops");
        await page.GetByLabel("sell", new() { Exact = true }).CheckAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Place the hold" }).ClickAsync();
        await Assertions.Expect(page.Locator("#f-Placing-Review-error")).ToContainTextAsync("has passed");
        Assert.Empty((await State(bat)).Holds.ByEntry);
        await page.GetByLabel("Look at it again on").FillAsync("2090-01-01");
        await page.GetByRole(AriaRole.Button, new() { Name = "Place the hold" }).ClickAsync();
        await Assertions.Expect(page.Locator(".done")).ToContainTextAsync("in force");
        Assert.Equal([HoldScope.Sell], (await State(bat)).Holds.ByEntry.Values.Single().Scope);

        // Somebody else's account does not lift it, save on a court's order.
        var other = await house.As(AccountRole.Registrar, await house.Server.Party("Overhill Rooms", PartyKind.House));
        await other.GotoAsync($"/bats/{number}/hold");
        await Lift(other, "HoldersWord");
        await Assertions.Expect(other.Locator(".refusals")).ToContainTextAsync("lifted by who placed it");
        Assert.Equal("MatterSettled", await other.GetByLabel("Why it ends").InputValueAsync());

        await page.GotoAsync($"/bats/{number}/hold");
        await Lift(page, "HouseRecord");
        await Assertions.Expect(page.Locator(".done")).ToContainTextAsync("is lifted");
        Assert.True((await State(bat)).Holds.ByEntry.Values.Single().Lifted);
        // Back, and sent again: it is lifted already, and the page says so.
        await page.GotoAsync($"/bats/{number}/hold");
        await Assertions.Expect(page.GetByRole(AriaRole.Button, new() { Name = "Lift the hold" })).ToHaveCountAsync(0);
        Assert.Empty(await Barriers(number));
    }

    // Rules are run by script in the page, so they need a window that has it.
    async Task<IReadOnlyList<string>> Barriers(string number)
    {
        var page = await house.As(AccountRole.Registrar, options: new() { ColorScheme = ColorScheme.Dark });
        await page.GotoAsync($"/bats/{number}/hold");
        return await House.Barriers(page);
    }

    static async Task Lift(IPage page, string basis)
    {
        await page.GetByText("Lift it").ClickAsync();
        await page.GetByLabel("Why it ends").SelectOptionAsync("MatterSettled");
        await page.GetByLabel("That rests on").SelectOptionAsync(basis);
        await page.GetByRole(AriaRole.Button, new() { Name = "Lift the hold" }).ClickAsync();
    }
}
