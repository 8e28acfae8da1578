using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Auditing;
using Custody.Server.Recording;
using Microsoft.Playwright;
using Npgsql;

namespace Custody.Browser.Tests.Rooms;

/// <summary>An auditor asks for an audit from the page of the record, leaves it, and finds its result.</summary>
public sealed class AuditPageTests(House house) : IClassFixture<House>
{
    [Fact]
    public async Task An_audit_is_asked_for_from_the_page_goes_on_without_it_and_names_the_row_that_was_changed()
    {
        if (house.Browser is null) return;
        var bat = await house.Server.Bat(await house.Server.Party("Ada Quill"));
        await house.Server.Published(bat);
        var page = await house.As(AccountRole.Auditor);
        await page.GotoAsync("/record");
        await page.GetByLabel("fold every stream again").CheckAsync();
        // Twice at once: one audit.
        await page.GetByRole(AriaRole.Button, new() { Name = "Audit now" }).DblClickAsync();
        await Assertions.Expect(page.Locator(".done")).ToContainTextAsync("You can leave this page");
        await page.GotoAsync("/");
        await page.GotoAsync("/record");
        // The part of the page that is waiting asks again by itself.
        await Assertions.Expect(page.Locator("#audit")).ToContainTextAsync("recorded in the ledger", new() { Timeout = 60_000 });
        await Assertions.Expect(page.Locator("#audit .stamp").First).ToHaveTextAsync("nothing found");
        var own = (await house.Server.Get<Histories>().All("ledger", TestContext.Current.CancellationToken))[0];
        Assert.Single((await house.Server.Get<Histories>().Open(own, TestContext.Current.CancellationToken)).Select(e => e.Fact).OfType<Audited>());

        Assert.Empty(await House.Barriers(page));

        // One at a time, on all nodes of the ledger: somebody else's stands in the way of this one, and the page says so.
        await using (NpgsqlConnection other = new(house.Server.Place.ConnectionString + ";Pooling=false"))
        {
            await other.OpenAsync(TestContext.Current.CancellationToken);
            await using NpgsqlCommand command = new($"select pg_advisory_lock({AuditDesk.Lock})", other);
            await command.ExecuteNonQueryAsync(TestContext.Current.CancellationToken);
            await Ask(page);
            await Assertions.Expect(page.Locator("#audit .alert")).ToContainTextAsync("Another node of this ledger is auditing now", new() { Timeout = 60_000 });
        }

        // A stored value changed behind the program's back is named by its row; the count goes into the ledger, the rows stay here.
        await house.Server.Scalar($"update {house.Server.Place.Schema}.custody_withheld set cipher = set_byte(cipher, 0, get_byte(cipher, 0) # 1) where stream = '{bat}' and name = 'description'");
        await Ask(page);
        await Assertions.Expect(page.GetByRole(AriaRole.Region, new() { Name = "What was found" })).ToContainTextAsync(bat.ToString(), new() { Timeout = 60_000 });
        await Assertions.Expect(page.Locator("#audit .stamp").First).ToHaveTextAsync("faults");
        Assert.Empty(await House.Barriers(page));
        await page.GotoAsync("/record");
        await Assertions.Expect(page.GetByRole(AriaRole.Table, new() { Name = "Audits recorded in the ledger" }).GetByRole(AriaRole.Row).Nth(1)).ToContainTextAsync("faults");
    }

    static async Task Ask(IPage page)
    {
        await page.GetByRole(AriaRole.Button, new() { Name = "Audit now" }).ClickAsync();
        await Assertions.Expect(page.Locator(".done")).ToContainTextAsync("The audit has begun");
    }
}
