using Custody.Server.Accounts;
using Microsoft.Playwright;

namespace Custody.Browser.Tests.Rooms;

/// <summary>The front page and what surrounds every page.</summary>
public sealed class FrontTests(House house) : IClassFixture<House>
{
    [Theory]
    [InlineData(ColorScheme.Light)]
    [InlineData(ColorScheme.Dark)]
    public async Task The_front_page_puts_no_barrier_in_anybodys_way(ColorScheme scheme)
    {
        if (house.Browser is null) return;
        var page = await house.Anybody(new() { ColorScheme = scheme });
        await page.GotoAsync("/");
        Assert.Empty(await House.Barriers(page));
        page = await house.As(AccountRole.Registrar, options: new() { ColorScheme = scheme });
        await page.GotoAsync("/");
        Assert.Empty(await House.Barriers(page));
    }

    [Fact]
    public async Task Each_role_sees_its_own_rooms_and_no_other()
    {
        if (house.Browser is null) return;
        foreach (var (role, rooms) in new (AccountRole, string[])[]
        {
            (AccountRole.Registrar, ["Desk", "Sales"]), (AccountRole.Cataloguer, ["Desk", "Sales"]), (AccountRole.Examiner, ["Bench"]), (AccountRole.Owner, ["My bats"]),
            (AccountRole.Keeper, ["Record", "Accounts"]),
        })
        {
            var page = await house.As(role);
            await page.GotoAsync("/");
            Assert.Equal(rooms, await page.GetByRole(AriaRole.Navigation, new() { Name = "Rooms" }).GetByRole(AriaRole.Link).AllInnerTextsAsync());
        }
    }

    [Fact]
    public async Task An_address_with_nothing_behind_it_is_said_in_words()
    {
        if (house.Browser is null) return;
        var page = await house.Anybody();
        var answer = await page.GotoAsync("/nothing-here");
        Assert.Equal(404, answer!.Status);
        Assert.Equal("There is nothing here", await page.GetByRole(AriaRole.Heading, new() { Level = 1 }).InnerTextAsync());
    }

    [Fact]
    public async Task Looks_are_kept_once_chosen_and_a_strange_way_back_is_not_taken()
    {
        if (house.Browser is null) return;
        var page = await house.Anybody();
        await page.GotoAsync("/?q=1");
        await page.GetByRole(AriaRole.Button, new() { Name = "dark" }).ClickAsync();
        Assert.EndsWith("/?q=1", page.Url, StringComparison.Ordinal);
        Assert.Equal("dark", await page.EvaluateAsync<string>("document.documentElement.dataset.theme"));
        await page.Locator("input[name=back]").EvaluateAsync("e => e.value = 'https://elsewhere.example/'");
        await page.GetByRole(AriaRole.Button, new() { Name = "light" }).ClickAsync();
        Assert.Equal(house.Server.Url + "/", page.Url);
    }
}
