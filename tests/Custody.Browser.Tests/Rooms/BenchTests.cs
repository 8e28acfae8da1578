using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Accounts;
using Custody.Server.Readings;
using Microsoft.Playwright;

namespace Custody.Browser.Tests.Rooms;

/// <summary>An examiner at the bench: blind first, then stage by stage.</summary>
public sealed class BenchTests(House house) : IClassFixture<House>
{
    const string OldOpinion = "an old letter says he used it";

    /// <summary>A bat with an opinion from before, an estimate and a price: what must not reach a blind eye.</summary>
    async Task<(StreamName Bat, string Number)> Bat()
    {
        var owner = await house.Server.Party("Ada Quill");
        var bat = await house.Server.Bat(owner, house.Party);
        await house.Server.Do(bat, new ReportOpinion(
            house.Party, null, null, PropositionLevel.UsedByHim, ReportedConclusion.Supports, AssertionBasis.Letter, FeeTerms.NotStated, null, null, null, OldOpinion, null)
        { By = house.Party });
        await house.Server.Do(bat, new CiteSource(
            SourceKind.Letter, SourceStanding.Original, PlayShown.NotAPicture, null, null, null, null, null, "A letter to Corrow", null, "what the letter shows", null)
        { By = house.Party });
        await house.Server.Do(bat, new ReportAcquisition(
            AcquisitionKind.Purchase, owner, null, null, null, null, AssertionBasis.Letter, null, Money.Parse("18250.00", "USD"), null, null, null)
        { By = house.Party });
        await house.Server.Do(bat, new ConsignBat(owner, house.Party, Attestation.Account, null, Money.Parse("21500.00", "USD"), null, null, null) { By = house.Party });
        var history = await house.Server.Get<ReadingDesk>().HistoryOf(bat.ToString(), default);
        return (bat, history!.AsCorrected().State.Registration!.ShortNumber);
    }

    static async Task Open(IPage page, string number)
    {
        await page.GotoAsync("/bench");
        await page.GetByLabel("Number of the bat").FillAsync(number);
        await page.GetByRole(AriaRole.Button, new() { Name = "Begin" }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Open the examination" }).ClickAsync();
    }

    internal static async Task Find(IPage page, string kind, string presence, string? measure = null)
    {
        await page.GetByLabel("What", new() { Exact = true }).SelectOptionAsync(kind);
        await page.GetByLabel("Seen, or looked for").SelectOptionAsync(presence);
        await page.GetByLabel("How sure", new() { Exact = true }).First.SelectOptionAsync("High");
        await page.GetByLabel("By what means").First.SelectOptionAsync("Eye");
        if (measure is not null)
        {
            await page.GetByLabel("Measure", new() { Exact = true }).FillAsync(measure);
            await page.GetByLabel("Unit", new() { Exact = true }).SelectOptionAsync("1");
        }
        await page.GetByRole(AriaRole.Button, new() { Name = "Write it down" }).First.ClickAsync();
    }

    [Fact]
    public async Task A_blind_stage_holds_no_prior_opinion_estimate_or_price_until_it_is_opened_in_turn()
    {
        if (house.Browser is null) return;
        var (_, number) = await Bat();
        var page = await house.As(AccountRole.Examiner);
        await Open(page, number);
        string[] held = [OldOpinion, "A letter to Corrow", "18250", "18,250", "21500", "21,500", "opinion reported", "Opinion reported"];
        Assert.All(held, text => Assert.DoesNotContain(text, Content(page), StringComparison.Ordinal));
        await Find(page, "BallMark", "Seen", "3");
        for (var i = 0; i < 8; i++) await page.GetByRole(AriaRole.Button, new() { Name = "Looked at" }).ClickAsync();
        Assert.All(held, text => Assert.DoesNotContain(text, Content(page), StringComparison.Ordinal));
        await page.GetByRole(AriaRole.Button, new() { Name = "Lock 1 findings" }).ClickAsync();
        Assert.All(held, text => Assert.DoesNotContain(text, Content(page), StringComparison.Ordinal));

        await page.GetByRole(AriaRole.Link, new() { Name = "Open sources" }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Open it" }).ClickAsync();
        Assert.Contains("A letter to Corrow", Content(page), StringComparison.Ordinal);
        Assert.All(held.Except(["A letter to Corrow"]), text => Assert.DoesNotContain(text, Content(page), StringComparison.Ordinal));

        await page.GetByRole(AriaRole.Link, new() { Name = "Revise f1" }).ClickAsync();
        await page.GetByLabel("How sure").SelectOptionAsync("Low");
        await page.GetByLabel("What made you look again").SelectOptionAsync("SecondLook");
        await page.GetByLabel("Why").FillAsync("it was the light");
        await page.GetByRole(AriaRole.Button, new() { Name = "Record the revision" }).ClickAsync();
        // Held with high confidence: only with a second examiner, and what was typed stays.
        Assert.Contains("was held with high confidence", await page.Locator(".refusals").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Equal("it was the light", await page.GetByLabel("Why").InputValueAsync());
        await page.GetByLabel("Second examiner").SelectOptionAsync(new SelectOptionValue { Label = "Ada Quill" });
        await page.GetByRole(AriaRole.Button, new() { Name = "Record the revision" }).ClickAsync();
        Assert.Contains("f1, before", Content(page), StringComparison.Ordinal);
        Assert.Contains("it was the light", Content(page), StringComparison.Ordinal);

        await page.GetByRole(AriaRole.Link, new() { Name = "Open price" }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Open it" }).ClickAsync();
        Assert.Contains("18250", Content(page), StringComparison.Ordinal);
        Assert.Empty(await House.Barriers(page));
        await page.GetByRole(AriaRole.Link, new() { Name = "Close the examination" }).ClickAsync();
        await page.GetByLabel("How it ended").SelectOptionAsync("Complete");
        await page.GetByRole(AriaRole.Button, new() { Name = "Close it" }).ClickAsync();
        Assert.Contains(OldOpinion, Content(page), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_finding_is_placed_by_touching_the_unrolled_bat_and_a_part_by_name_does_without_script()
    {
        if (house.Browser is null) return;
        var (_, number) = await Bat();
        var page = await house.As(AccountRole.Examiner);
        await Open(page, number);
        var map = page.Locator("svg[data-unrolled]");
        var box = (await map.BoundingBoxAsync())!;
        await map.ClickAsync(new() { Position = new() { X = box.Width * 0.7f, Y = box.Height * 0.5f } });
        Assert.Equal("0", await page.GetByLabel("From, degrees").InputValueAsync());
        Assert.InRange(double.Parse(await page.GetByLabel("From, inches").InputValueAsync(), System.Globalization.CultureInfo.InvariantCulture), 23, 25);
        await map.ClickAsync(new() { Position = new() { X = box.Width * 0.8f, Y = box.Height * 0.6f } });
        await Find(page, "BallMark", "Seen");
        Assert.Equal(1, await page.Locator(".unrolled .mark polygon").CountAsync());
        Assert.Empty(await House.Barriers(page));
        await page.EmulateMediaAsync(new() { ColorScheme = ColorScheme.Dark, ReducedMotion = ReducedMotion.Reduce });
        await page.SetViewportSizeAsync(390, 800);
        Assert.Empty(await House.Barriers(page));
        Assert.Equal(390, await page.EvaluateAsync<int>("document.documentElement.scrollWidth"));

        var plain = await house.As(AccountRole.Examiner, options: new() { JavaScriptEnabled = false });
        await plain.GotoAsync(page.Url);
        await plain.GetByLabel("Or a part by name").SelectOptionAsync("handle");
        await Find(plain, "PineTar", "Absent");
        Assert.Contains("1 in to 14 in, all the way round", Content(plain), StringComparison.Ordinal);
        await plain.GetByRole(AriaRole.Button, new() { Name = "Take out f1" }).ClickAsync();
        Assert.DoesNotContain("ball mark, seen", Content(plain), StringComparison.Ordinal);

        // Left and taken up again; to somebody else the bench says nothing of it.
        var other = await house.As(AccountRole.Examiner, await house.Server.Party("Ottoline Fay"));
        await other.GotoAsync(page.Url);
        Assert.DoesNotContain("pine tar", Content(other), StringComparison.Ordinal);
        await page.GotoAsync("/bench");
        Assert.Equal("yours", await page.GetByRole(AriaRole.Row).Filter(new() { HasText = number }).GetByRole(AriaRole.Cell).First.InnerTextAsync());
        Assert.Empty(await House.Barriers(page));
    }

    static string Content(IPage page) => page.ContentAsync().GetAwaiter().GetResult();
}
