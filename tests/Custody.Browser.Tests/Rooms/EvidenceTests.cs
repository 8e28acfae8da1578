using System.Security.Cryptography;
using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Accounts;
using Custody.Server.Readings;
using Microsoft.Playwright;

namespace Custody.Browser.Tests.Rooms;

/// <summary>Seasons, layers, sources and pictures of a bat at the bench.</summary>
public sealed class EvidenceTests(House house) : IClassFixture<House>
{
    async Task<(StreamName Bat, string Number)> Bat()
    {
        var bat = await house.Server.Bat(await house.Server.Party("Ada Quill"), house.Party);
        return (bat, (await house.Server.Get<ReadingDesk>().HistoryOf(bat.ToString(), TestContext.Current.CancellationToken))!.AsCorrected().State.Registration!.ShortNumber);
    }

    static PictureHash Picture() => new(Convert.ToBase64String(RandomNumberGenerator.GetBytes(32)).TrimEnd('=').Replace('+', '-').Replace('/', '_'));

    [Fact]
    public async Task Seasons_are_drawn_with_what_binds_each_end_and_layers_with_the_orders_they_permit()
    {
        if (house.Browser is null) return;
        var (bat, number) = await Bat();
        await house.Server.Do(bat, new RecordDating(
            [
                new(BatMoment.Made, [Edtf.Parse("1948/1952")], BoundStrength.Hard, DatingScope.Bat, DatingBasis.MakersMark),
                new(BatMoment.Used, [Edtf.Parse("1950/1956")], BoundStrength.Hard, DatingScope.Player, DatingBasis.Tenure),
            ], null, null, null)
        { By = house.Party });
        await house.Server.Do(bat, new OpenExamination(house.Party, house.Party, ExaminedFrom.BatInHand, Blinding.NotBlind, [], ProposedBy.NobodyYet, null, [], null, null, null) { By = house.Party });
        await house.Server.Do(bat, new LockFindings(
            3, [new(FindingKind.PineTar, Presence.Seen, Confidence.High, SeenBy.Eye), new(FindingKind.Tape, Presence.Seen, Confidence.High, SeenBy.Eye)],
            [new(1, 2, SeenBy.Microscope, Confidence.Moderate, null)], [.. ViewSeen.Fixed.Select(v => new ViewSeen(v, ViewAnswer.Seen))], null)
        { By = house.Party });
        var page = await house.As(AccountRole.Examiner);
        await page.GotoAsync($"/bats/{number}/seasons");
        Assert.Equal(4, await page.Locator(".seasons rect").CountAsync());
        var rows = await page.GetByRole(AriaRole.Table).Nth(1).GetByRole(AriaRole.Row).Nth(1).InnerTextAsync();
        Assert.StartsWith("1950 to 1956", rows, StringComparison.Ordinal);
        Assert.Contains("2.d2", rows, StringComparison.Ordinal);
        Assert.Contains("f2 tape, then f1 pine tar", await page.ContentAsync(), StringComparison.Ordinal);
        Assert.Empty(await House.Barriers(page));
    }

    [Fact]
    public async Task A_source_is_cited_with_its_standing_refused_beside_its_field_and_withdrawn()
    {
        if (house.Browser is null) return;
        var (_, number) = await Bat();
        var page = await house.As(AccountRole.Examiner, options: new() { JavaScriptEnabled = false });
        await page.GotoAsync($"/bats/{number}/sources");
        await page.GetByLabel("Name", new() { Exact = true }).FillAsync("A wire photograph");
        await page.GetByLabel("Kind", new() { Exact = true }).SelectOptionAsync("Letter");
        await page.GetByLabel("Standing", new() { Exact = true }).SelectOptionAsync("CopyOfOriginal");
        await page.GetByLabel("Play", new() { Exact = true }).SelectOptionAsync("InPlay");
        await page.GetByLabel("When what it shows").FillAsync("1951-05");
        await page.GetByRole(AriaRole.Button, new() { Name = "Cite it" }).ClickAsync();
        Assert.Contains("shows no play", await page.Locator("#f-Source-Play-error").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Equal("A wire photograph", await page.GetByLabel("Name", new() { Exact = true }).InputValueAsync());
        await page.GetByLabel("Kind", new() { Exact = true }).SelectOptionAsync("WirePhotograph");
        await page.GetByRole(AriaRole.Button, new() { Name = "Cite it" }).ClickAsync();
        Assert.Contains("copy of original", await page.Locator("#s2").InnerTextAsync(), StringComparison.Ordinal);
        await page.GetByText("Withdraw it").ClickAsync();
        await page.GetByLabel("Ground", new() { Exact = true }).SelectOptionAsync("NotGenuine");
        await page.GetByRole(AriaRole.Button, new() { Name = "Withdraw entry 2" }).ClickAsync();
        Assert.Contains("withdrawn by entry 3", await page.Locator("#s2").InnerTextAsync(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Dates_and_places_are_recorded_with_their_sources_and_a_sources_picture_is_chosen_by_name()
    {
        if (house.Browser is null) return;
        var (bat, number) = await Bat();
        var page = await house.As(AccountRole.Examiner, options: new() { JavaScriptEnabled = false });
        await house.Server.Do(bat, new PhotographBat([new(Picture(), null, BatView.Handle, Lighting.Ordinary, ScaleShown.Nothing, null, null, null)], null, null) { By = house.Party });
        await page.GotoAsync($"/bats/{number}/sources");
        foreach (var (field, value) in new[] { ("Kind", "WirePhotograph"), ("Standing", "Original"), ("Play", "InPlay") })
            await page.GetByLabel(field, new() { Exact = true }).SelectOptionAsync(value);
        await page.GetByLabel("Name", new() { Exact = true }).FillAsync("A wire photograph");
        await page.GetByLabel("Picture", new() { Exact = true }).SelectOptionAsync(new SelectOptionValue { Label = "of the bat, entry 2: handle" });
        await page.GetByRole(AriaRole.Button, new() { Name = "Cite it" }).ClickAsync();
        Assert.Equal(1, await page.Locator("#s3 img").CountAsync());

        await house.Server.Do(bat, new OpenExamination(house.Party, house.Party, ExaminedFrom.BatInHand, Blinding.NotBlind, [], ProposedBy.NobodyYet, null, [], null, null, null) { By = house.Party });
        await house.Server.Do(bat, new LockFindings(
            4, [new(FindingKind.RackPaint, Presence.Seen, Confidence.High, SeenBy.Eye), new(FindingKind.RackPaint, Presence.Seen, Confidence.High, SeenBy.Eye)],
            [new(2, 1, SeenBy.Microscope, Confidence.Moderate, null)], [.. ViewSeen.Fixed.Select(v => new ViewSeen(v, ViewAnswer.Seen))], null)
        { By = house.Party });
        await page.GotoAsync($"/bats/{number}/dates");
        await page.GetByLabel("The bat was").First.SelectOptionAsync("Made");
        await page.GetByLabel("Within").First.FillAsync("the fifties");
        await page.GetByLabel("Read from").First.SelectOptionAsync("MakersMark");
        await page.GetByLabel("Source on this bat's record").First.SelectOptionAsync("3");
        await page.GetByRole(AriaRole.Button, new() { Name = "Record the dates" }).ClickAsync();
        Assert.NotEmpty(await page.Locator("#f-Dating-Facts-0--Within-error, [id^='f-Dating'][id$='Within-error']").First.InnerTextAsync());
        await page.GetByLabel("Within").First.FillAsync("1949; 1951/1953");
        await page.GetByRole(AriaRole.Button, new() { Name = "Record the dates" }).ClickAsync();
        Assert.Contains("1949 to no end known", await page.ContentAsync(), StringComparison.Ordinal);

        await page.GotoAsync($"/bats/{number}/dates");
        await page.GetByLabel("Sign 1", new() { Exact = true }).SelectOptionAsync("RackPaint");
        await page.GetByLabel("Sign 1 looks like").FillAsync("green");
        await page.GetByLabel("Place 1, when").FillAsync("1950");
        await page.GetByLabel("Place 1", new() { Exact = true }).FillAsync("Kiln Park");
        await page.GetByLabel("Place 1 left signs").FillAsync("1");
        await page.GetByLabel("f1 Rack paint, seen").Or(page.GetByLabel("f1 rack paint, seen")).First.SelectOptionAsync("1");
        await page.GetByRole(AriaRole.Button, new() { Name = "Record the list" }).ClickAsync();
        Assert.Contains("Kiln Park", await page.Locator("main").InnerTextAsync(), StringComparison.Ordinal);
        Assert.Contains("One way to read the contacts from the list fit the layers", await page.Locator("main").InnerTextAsync(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Two_pictures_are_marked_in_turn_by_touch_or_typed_paired_and_shown_with_their_residuals()
    {
        if (house.Browser is null) return;
        var (bat, number) = await Bat();
        var (archive, ofBat) = (Picture(), Picture());
        await house.Server.Do(bat, new CiteSource(
            SourceKind.OriginalPrint, SourceStanding.Original, PlayShown.InPlay, Edtf.Parse("1951"), null, null, null, archive, "A print", null, null, null)
        { By = house.Party });
        await house.Server.Do(bat, new PhotographBat([new(ofBat, null, BatView.Barrel, Lighting.Ordinary, ScaleShown.Nothing, null, null, null)], null, null) { By = house.Party });
        var page = await house.As(AccountRole.Examiner, options: new() { ViewportSize = new() { Width = 900, Height = 600 } });
        // Any picture does here: marks are pixels, whatever they are of.
        var png = await page.ScreenshotAsync();
        await page.RouteAsync("**/api/photographs/**", route => route.FulfillAsync(new() { ContentType = "image/png", BodyBytes = png }));
        await page.GotoAsync($"/bats/{number}/comparisons");
        await page.GetByLabel("Archive picture").SelectOptionAsync("2");
        await page.GetByLabel("Picture of the bat").SelectOptionAsync($"3 {ofBat}");
        foreach (var (field, value) in new[] { ("From", "22"), ("To", "26"), ("FromAngle", "350"), ("ToAngle", "40"), ("Width", "900"), ("Height", "600") })
            await page.Locator($"[name='Opening.{field}']").FillAsync(value);
        await page.GetByRole(AriaRole.Button, new() { Name = "Open it" }).ClickAsync();
        Assert.Contains("wider than 25 degrees", await page.Locator("#f-Opening-ToAngle-error").InnerTextAsync(), StringComparison.Ordinal);
        await page.Locator("[name='Opening.ToAngle']").FillAsync("10");
        await page.GetByRole(AriaRole.Button, new() { Name = "Open it" }).ClickAsync();

        await page.Locator("[data-kind]").SelectOptionAsync("Knot");
        var image = page.Locator(".marking img");
        var box = (await image.BoundingBoxAsync())!;
        await image.ClickAsync(new() { Position = new() { X = box.Width / 2, Y = box.Height / 2 } });
        Assert.Matches("^Knot 4(49|50|51) (299|300|301)$", await page.GetByLabel("Marks, one a line").InputValueAsync());
        Assert.Equal(1, await page.Locator(".marking circle").CountAsync());
        var marks = new[] { (100, 100), (700, 120), (420, 380), (250, 500), (800, 520), (520, 210), (150, 330), (640, 450) };
        await page.GetByLabel("Marks, one a line").FillAsync(string.Join('\n', marks.Select(m => $"knot {m.Item1} {m.Item2}")));
        await page.GetByRole(AriaRole.Button, new() { Name = "Lock the marks" }).ClickAsync();

        Assert.Contains("You marked the archive picture.", await page.ContentAsync(), StringComparison.Ordinal);
        await page.GetByLabel("Marks, one a line").FillAsync("knot 100");
        await page.GetByRole(AriaRole.Button, new() { Name = "Lock the marks" }).ClickAsync();
        Assert.Contains("Line 1 is no mark.", await page.Locator("#f-Marks-error").InnerTextAsync(), StringComparison.Ordinal);
        await page.GetByLabel("Marks, one a line").FillAsync(string.Join('\n', marks.Select(m => $"fleck {m.Item1 / 2 + 30} {m.Item2 / 2 + 17}")));
        await page.GetByRole(AriaRole.Button, new() { Name = "Lock the marks" }).ClickAsync();

        await page.GetByLabel("Pairs, one a line").FillAsync(string.Join('\n', marks.Select((_, i) => $"{i + 1} {i + 1}")));
        await page.GetByRole(AriaRole.Button, new() { Name = "Try it" }).ClickAsync();
        Assert.Equal(8, await page.GetByRole(AriaRole.Table).GetByRole(AriaRole.Row).CountAsync() - 1);
        await page.GetByRole(AriaRole.Button, new() { Name = "Record the comparison" }).ClickAsync();
        var said = await page.Locator("main").InnerTextAsync();
        Assert.Contains("These show the same wood surface. Both pictures were marked by the same person.", said, StringComparison.Ordinal);
        Assert.Contains("it comes out as recorded", said, StringComparison.Ordinal);
        Assert.Empty(await House.Barriers(page));
    }
}
