using System.IO.Compression;
using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Publishing;
using Custody.Server.Recording;
using Custody.Server.Tests.Database;
using Custody.Server.Tests.Web;
using Custody.Transparency;

namespace Custody.Server.Tests.Publishing;

/// <summary>The offline checker page, as the ledger gives it out and vouches for it.</summary>
public sealed class CheckerTests(PostgresForTests postgres) : IClassFixture<PostgresForTests>, IAsyncLifetime
{
    RunningHouse house = null!;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync() => house = await RunningHouse.Start(postgres.ConnectionString, Ct);

    public ValueTask DisposeAsync() => house.DisposeAsync();

    [Fact]
    public async Task The_page_is_served_to_be_saved_and_is_the_one_whose_hash_is_recorded_once()
    {
        var desk = house.Get<CheckerDesk>();
        var (first, refused) = await desk.Record(Ct);
        Assert.Null(refused);
        Assert.Equal((first, null), await desk.Record(Ct));
        var own = (await house.Get<Histories>().All("ledger", Ct))[0];
        var published = Assert.Single((await house.Get<Histories>().Open(own, Ct)).Select(e => e.Fact).OfType<CheckerPublished>());

        var answer = await house.Http.GetAsync("/checker", Ct);
        var bytes = await answer.Content.ReadAsByteArrayAsync(Ct);
        Assert.Equal("attachment", answer.Content.Headers.ContentDisposition!.DispositionType);
        Assert.Equal((published.PageHash, published.Length), (Hash.Of(bytes).Text, (long)bytes.Length));
        var folder = Directory.CreateTempSubdirectory();
        Assert.Equal(bytes, await File.ReadAllBytesAsync(await CheckerDesk.Write(folder, Ct), Ct));
        folder.Delete(recursive: true);
    }

    [Fact]
    public async Task No_dossier_holds_the_page_or_the_entry_that_vouches_for_it()
    {
        await house.Get<CheckerDesk>().Record(Ct);
        var bat = await house.Bat(await house.Party("Ada Quill"));
        var answer = await house.Send($"/api/bats/{bat.Id}/dossier", """{"reveal":["description"]}""");
        Assert.True(answer.IsSuccessStatusCode, await answer.Content.ReadAsStringAsync(Ct));
        using ZipArchive zip = new(new MemoryStream(await answer.Content.ReadAsByteArrayAsync(Ct)));
        Assert.DoesNotContain(zip.Entries, e => e.Name == CheckerPage.FileName);
        foreach (var entry in zip.Entries)
        {
            using StreamReader text = new(await entry.OpenAsync(Ct));
            Assert.DoesNotContain("CheckerPublished", await text.ReadToEndAsync(Ct), StringComparison.Ordinal);
        }
    }
}
