using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Accounts;
using Custody.Server.Readings;
using Microsoft.Playwright;

namespace Custody.Browser.Tests.Rooms;

/// <summary>From the number on a label to an opinion given, revised and withdrawn.</summary>
public sealed class OpinionFlowTests(House house) : IClassFixture<House>
{
    static StreamName Fresh(string kind) => StreamName.Parse($"{kind}/{Custody.Transparency.Crockford.Encode(System.Security.Cryptography.RandomNumberGenerator.GetBytes(16))}");

    /// <summary>A habit file of six games with a spiral of tape, beside twenty-four other hitters of whom one does so, and a rubric.</summary>
    async Task<StreamName> Files()
    {
        var (habits, comparison, rubric) = (Fresh("habits"), Fresh("comparison"), Fresh("rubric"));
        Characteristic tape = new(FindingKind.Tape, 2, Possible.Yes, Possible.Yes, Edtf.Parse("1975"));
        await house.Server.Do(comparison, new OpenComparisonFile(house.Party, CollectedFrom.PublishedPictures, Edtf.Parse("1940/1960"), null) { By = house.Party });
        var defined = (await house.Server.Do(comparison, new DefineComparisonCharacteristic(tape, "Handle tape", ["rings", "spiral"]) { By = house.Party }))[0];
        for (var i = 0; i < 24; i++)
            await house.Server.Do(comparison, new RecordComparisonOccasion(
                await house.Server.Party("Hitter " + i), OccasionKind.InPlayPicture, null, null, null, Bats.BatEntry.NotABat, [new(2, Observed.Seen, i == 0 ? 2 : 1)], null, null, null)
            { By = house.Party });
        await house.Server.Do(comparison, new VersionComparisonCounts(null) { By = house.Party });
        await house.Server.Do(habits, new OpenHabitFile(await house.Server.Party("Orrin Vale"), house.Party, Edtf.Parse("1948/1956"), null) { By = house.Party });
        await house.Server.Do(habits, new DefineCharacteristic(tape, new(null, comparison, defined.N, defined.Hash), "Handle tape", ["rings", "spiral"]) { By = house.Party });
        for (var i = 0; i < 6; i++)
            await house.Server.Do(habits, new RecordOccasion(
                OccasionKind.InPlayPicture, Edtf.Parse($"195{i}"), null, null, Bats.BatEntry.NotABat, [new(2, Observed.Seen, 2)], null, null, null)
            { By = house.Party });
        await house.Server.Do(habits, new VersionCounts([2], null) { By = house.Party });
        await house.Server.Do(rubric, new PublishRubric(
            1, house.Party, [new(SupportWord.Weak, Quantity.Parse("2", "1")), new(SupportWord.Moderate, Quantity.Parse("10", "1"))], [new(UseWord.Slight, FindingKind.BallMark, 1)],
            [new(ConditionWord.Good, FindingKind.HandleCrack, 0)], [], new PicturesOnlyLimit(SupportWord.Weak, FromPictures.MayBeGraded, FromPictures.NotAssessable), "House rubric", "A rubric.", null)
        { By = house.Party });
        return habits;
    }

    [Fact]
    public async Task An_examiner_opens_locks_closes_weighs_and_gives_an_opinion_that_comes_out_again()
    {
        if (house.Browser is null) return;
        var habits = await Files();
        var bat = await house.Server.Bat(await house.Server.Party("Ada Quill"), house.Party);
        var number = (await house.Server.Get<ReadingDesk>().HistoryOf(bat.ToString(), TestContext.Current.CancellationToken))!.AsCorrected().State.Registration!.ShortNumber;
        var page = await house.As(AccountRole.Examiner);
        await page.GotoAsync($"/bats/{number}/examinations/open");
        await page.GetByLabel("proposed player").CheckAsync();
        await page.GetByLabel("The player was proposed by").SelectOptionAsync("Consignor");
        await page.GetByRole(AriaRole.Button, new() { Name = "Open the examination" }).ClickAsync();
        await BenchTests.Find(page, "Tape", "Seen");
        for (var i = 0; i < 8; i++) await page.GetByRole(AriaRole.Button, new() { Name = "Looked at" }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Lock 1 findings" }).ClickAsync();

        // The weight would show what is usual of the player: closed until the habit file is opened.
        var examination = page.Url;
        await page.GotoAsync($"/bats/{number}/weight?habits={habits}");
        Assert.Contains("habit files are still closed", await page.ContentAsync(), StringComparison.Ordinal);
        Assert.DoesNotContain("Handle tape", await page.ContentAsync(), StringComparison.Ordinal);
        await page.GotoAsync(examination);
        await page.GetByRole(AriaRole.Link, new() { Name = "Open habit file" }).ClickAsync();
        await page.GetByLabel("Habit file", new() { Exact = true }).FillAsync(habits.ToString());
        await page.GetByRole(AriaRole.Button, new() { Name = "Open it" }).ClickAsync();
        await page.GetByRole(AriaRole.Link, new() { Name = "Close the examination" }).ClickAsync();
        await page.GetByLabel("How it ended").SelectOptionAsync("Complete");
        await page.GetByRole(AriaRole.Button, new() { Name = "Close it" }).ClickAsync();

        await page.GetByRole(AriaRole.Link, new() { Name = "Weigh the findings" }).ClickAsync();
        await page.GetByLabel("Handle tape").SelectOptionAsync(new SelectOptionValue { Label = "spiral" });
        await page.GetByRole(AriaRole.Button, new() { Name = "Weigh" }).ClickAsync();
        Assert.Equal(2, await page.Locator("section.sheet").Filter(new() { HasText = "Against:" }).CountAsync());
        var text = await page.Locator("main").InnerTextAsync();
        // Words before numbers.
        Assert.InRange(text.IndexOf("support for the proposition", StringComparison.Ordinal), 0, text.IndexOf("90 %", StringComparison.Ordinal));
        Assert.Equal(1, await page.Locator(".bars g.for rect").CountAsync());
        Assert.Contains("the house states no odds", await page.ContentAsync(), StringComparison.Ordinal);
        Assert.Empty(await House.Barriers(page));

        var weighed = await page.Locator("section.sheet table").First.Locator("td.figures").InnerTextAsync();
        await page.GetByRole(AriaRole.Link, new() { Name = "Prepare an opinion from this" }).ClickAsync();
        await page.GetByLabel("Rubric").SelectOptionAsync(new SelectOptionValue { Label = "House rubric" });
        await page.GetByRole(AriaRole.Button, new() { Name = "Compute words and grade" }).ClickAsync();
        Assert.Contains("Support, by the rubric", await page.ContentAsync(), StringComparison.Ordinal);
        // The opinion states inputs of its own; out of them comes what the weighing showed.
        Assert.Contains(weighed, await page.Locator("main").InnerTextAsync(), StringComparison.Ordinal);
        await page.GetByLabel("Use", new() { Exact = true }).SelectOptionAsync("Heavy");
        await page.GetByLabel("Fee", new() { Exact = true }).SelectOptionAsync("NoFee");
        await page.GetByLabel("Asked for by").SelectOptionAsync(new SelectOptionValue { Label = "whom I act for" });
        await page.GetByLabel("The opinion in your words").FillAsync("used by him, as far as the tape says");
        await page.GetByRole(AriaRole.Button, new() { Name = "Give the opinion" }).ClickAsync();
        // A departure without its ground is refused, and what was typed stays.
        Assert.Contains("This differs from what the rubric gives.", await page.Locator(".refusals").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Equal("used by him, as far as the tape says", await page.GetByLabel("The opinion in your words").InputValueAsync());
        Assert.Empty(await House.Barriers(page));
        await page.Locator("[name='Giving.UseGround']").SelectOptionAsync("UnusualCase");
        await page.Locator("[name='Giving.UseReason']").FillAsync("worn through the finish");
        await page.GetByRole(AriaRole.Button, new() { Name = "Give the opinion" }).ClickAsync();

        Assert.EndsWith("/review", page.Url, StringComparison.Ordinal);
        var review = await page.Locator("main").InnerTextAsync();
        Assert.Contains("present opinion", review, StringComparison.Ordinal);
        Assert.Contains("come out again as recorded", review, StringComparison.Ordinal);
        Assert.Contains("Departs from the rubric", review, StringComparison.Ordinal);
        Assert.Empty(await House.Barriers(page));

        await page.GetByRole(AriaRole.Link, new() { Name = "Withdraw it" }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Withdraw it" }).ClickAsync();
        Assert.Contains("Say on what ground", await page.Locator(".refusals").InnerTextAsync(), StringComparison.Ordinal);
        await page.GetByLabel("Ground", new() { Exact = true }).SelectOptionAsync("Mistake");
        await page.GetByRole(AriaRole.Button, new() { Name = "Withdraw it" }).ClickAsync();
        Assert.Contains("withdrawn", await page.Locator(".opinion .stamp").First.InnerTextAsync(), StringComparison.Ordinal);
    }
}
