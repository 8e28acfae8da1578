using System.Net;
using System.Text;
using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Database;
using Custody.Server.Dossiers;
using Custody.Server.Labels;
using Custody.Server.Photographs;
using Custody.Server.Private;
using Custody.Server.Recording;
using Custody.Server.Tests.Photographs;
using Custody.Server.Tests.Web;
using Microsoft.Extensions.DependencyInjection;
using Npgsql;

namespace Custody.Server.Tests.Private;

/// <summary>What is withheld stands in plain nowhere: not in the database's files and write-ahead log, not in a backup or a dump, not among search
/// words, answers, messages, photographs, thumbnails, log tiles and log lines; and after an erasure not even under a key.</summary>
public sealed class NothingInPlainTests : IAsyncLifetime
{
    // Each distinctive, none a real person or place.
    const string Owner = "Umbelline Quarterjack", Visitor = "Thessaly Wrackham", Address = "Fenchurchby", Place = "Hollowaybarn", Described = "Zyrconblack",
        ClaimText = "Pawnticketed", PaperText = "Indentureword", Camera = "Obscuratrix", Buyer = "Marchbankson", Host = "wintergreen-labels.example";

    static readonly Needles Withheld = new(
        "Umbelline", "Quarterjack", "Thessaly", "Wrackham", Address, Place, Described, ClaimText, PaperText, Camera, Buyer, "wintergreen");

    readonly string folder = Path.Combine(Path.GetTempPath(), "custody-plain-" + Guid.NewGuid().ToString("N"));
    EmbeddedPostgres postgres = null!;
    RunningHouse house = null!;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        // A cluster of its own: its files are what is looked through.
        postgres = await EmbeddedPostgres.StartOrAttachAsync(
            folder, PostgresOptions.FromEnvironment(Environment.GetEnvironmentVariable) with { Durable = false }, new Progress<string>(), Ct);
        house = await RunningHouse.Start(postgres.ConnectionString, Ct);
    }

    public async ValueTask DisposeAsync()
    {
        await house.DisposeAsync();
        NpgsqlConnection.ClearAllPools();
        await postgres.StopAsync(Ct);
        if (new DirectoryInfo(Cluster).ResolveLinkTarget(returnFinalTarget: true) is { Exists: true } elsewhere) Directory.Delete(elsewhere.FullName, recursive: true);
        Directory.Delete(folder, recursive: true);
    }

    string Cluster => Path.Combine(folder, "postgres");

    [Fact]
    public async Task What_is_withheld_stands_in_plain_nowhere_and_after_an_erasure_nobody_can_read_it_while_every_proof_holds()
    {
        var (owner, visitor) = (await house.Party(Owner, address: Address), await house.Party(Visitor, address: Address));
        var bat = await house.Bat(owner, description: Described, place: Place);
        var (paper, original) = (await Paper(visitor), await Picture(bat, owner));
        await house.Do(bat, new RaiseClaim(ClaimKind.Other, visitor, AssertionBasis.HoldersWord, ClaimText, paper.Base64Url) { By = visitor });
        await house.Do(bat, new ResolveClaim(3, ClaimOutcome.Withdrawn, AssertionBasis.HoldersWord, null, null, null) { By = visitor });
        var state = await house.Get<BatFinder>().Find(bat.ToString(), Ct);
        await house.Get<LabelDesk>().Issue(state!, owner, LabelForm.Card, LabelPlace.TiedTag, Host, "A House", null, Ct);
        var before = await Dossier(bat, $$"""{"reveal":["description"],"for":"{{Buyer}}"}""");
        foreach (var reading in new[] { "", "/entries", "/title", "/custody", "/withheld" }) Assert.Equal(HttpStatusCode.OK, (await house.Http.GetAsync($"/api/bats/{bat.Id}{reading}", Ct)).StatusCode);
        Assert.Equal(HttpStatusCode.OK, (await house.Http.GetAsync($"/api/search?q={Described}", Ct)).StatusCode);
        await Nowhere();

        Assert.Contains(Visitor.Split(' ')[1], await NamesOf(bat), StringComparison.Ordinal);
        Assert.NotNull(await house.Get<PictureStores>().Documents.Read(paper, Ct));
        await house.Do(visitor.Stream, new RequestErasure(ErasureGround.AskedByTheParty, null, null) { By = PartyId.Ledger });
        await house.Do(visitor.Stream, new EraseParty([], null) { By = PartyId.Ledger });
        Assert.DoesNotContain(Visitor.Split(' ')[1], await NamesOf(bat), StringComparison.Ordinal);
        Assert.Contains(Owner, await NamesOf(bat), StringComparison.Ordinal);
        Assert.Null(await house.Get<PictureStores>().Documents.Read(paper, Ct));
        Assert.NotNull(await house.Get<PictureStores>().Originals.Read(original, Ct));
        await UnreadableRows(visitor);
        await Nowhere();

        // Proofs, old and new, hold as before.
        foreach (var zip in new[] { before, await Dossier(bat, """{"reveal":["all"]}""") })
        {
            var report = Checker.Run(DossierReader.Read(new MemoryStream(zip)), new Expected([house.Get<Custody.Server.Log.LogDesk>().Key], null, DateTimeOffset.UtcNow));
            Assert.DoesNotContain(report.Checks, c => c.Result == CheckResult.Failed);
        }
    }

    /// <summary>Looks everywhere: what is running, a base backup of it, a dump of every row, the data folder, everything that was logged.</summary>
    async Task Nowhere()
    {
        await house.Indexed();
        for (var i = 0; i < 100 && Thumbnails() < 3; i++) await Task.Delay(50, Ct);
        Assert.True(Thumbnails() >= 3, "the thumbnails were not made");
        var backup = Path.Combine(folder, "backup");
        await using (var admin = new NpgsqlConnection(postgres.AdminConnectionString))
        {
            await admin.OpenAsync(Ct);
            await Run(admin, "checkpoint");
            await Run(admin, "select pg_backup_start('looked through', fast => true)");
            Copy(Cluster, backup);
            await Run(admin, "select pg_backup_stop()");
        }
        foreach (var looked in new[] { Cluster, backup, house.Place.DataFolder }) Assert.Empty(Withheld.Below(looked));
        Assert.Empty(Withheld.In(Encoding.UTF8.GetBytes(await Dump())));
        Assert.Empty(Withheld.In(Encoding.UTF8.GetBytes(house.Logged)));
        // The looking itself finds what is there: the open words of these entries.
        Assert.NotEmpty(new Needles("BatRegistered").Below(Cluster));
        Assert.NotEmpty(new Needles("BatRegistered").In(Encoding.UTF8.GetBytes(await Dump())));
        Directory.Delete(backup, recursive: true);
    }

    int Thumbnails() => Directory.Exists(house.Place.Folder("photographs/thumbnails")) ? Directory.GetFiles(house.Place.Folder("photographs/thumbnails"), "*.jpg", SearchOption.AllDirectories).Length : 0;

    /// <summary>Every row of every table as text, binary columns in hexadecimal and decoded besides.</summary>
    async Task<string> Dump()
    {
        var database = house.Get<NpgsqlDataSource>();
        List<string> tables = [];
        await using (var names = database.CreateCommand("select format('%I.%I', schemaname, tablename) from pg_tables where schemaname not in ('pg_catalog', 'information_schema')"))
        await using (var reader = await names.ExecuteReaderAsync(Ct))
            while (await reader.ReadAsync(Ct)) tables.Add(reader.GetString(0));
        var text = new StringBuilder();
        foreach (var table in tables)
        {
            await using var rows = database.CreateCommand($"select t::text from {table} as t");
            await using var reader = await rows.ExecuteReaderAsync(Ct);
            while (await reader.ReadAsync(Ct))
            {
                var row = reader.GetString(0);
                text.AppendLine(row);
                foreach (System.Text.RegularExpressions.Match binary in System.Text.RegularExpressions.Regex.Matches(row, @"\\x([0-9a-f]{2,})"))
                    text.AppendLine(Encoding.Latin1.GetString(Convert.FromHexString(binary.Groups[1].Value)));
            }
        }
        return text.ToString();
    }

    /// <summary>No key that is left opens any row that stood under the erased party's.</summary>
    async Task UnreadableRows(PartyId party)
    {
        var id = house.Get<KeyRing>().IdOf(party.ToString());
        var keys = Directory.GetFiles(house.Place.Folder("keys/values")).Select(File.ReadAllBytes).Where(k => k.Length == 32).ToList();
        await using var command = house.Get<NpgsqlDataSource>().CreateCommand($"select stream, n, pointer, name, nonce, cipher from {house.Place.Schema}.custody_withheld where key_id = $1");
        command.Parameters.AddWithValue(id);
        await using var reader = await command.ExecuteReaderAsync(Ct);
        var rows = 0;
        for (; await reader.ReadAsync(Ct); rows++)
        {
            var place = Cover.Place(reader.GetString(0), reader.GetInt64(1), reader.GetString(2), reader.GetString(3));
            var covered = new Covered(id, reader.GetFieldValue<byte[]>(4), reader.GetFieldValue<byte[]>(5));
            foreach (var key in keys) Assert.Throws<System.Security.Cryptography.AuthenticationTagMismatchException>(() => Cover.Off(key, place, covered));
        }
        Assert.True(rows >= 3, $"{rows} rows");
    }

    async Task<string> NamesOf(StreamName bat) =>
        string.Join(' ', (await house.Get<Histories>().Shown(bat, Ct)).SelectMany(e => e.Fact.Parties?.Values.Select(p => p.Name?.Value) ?? []));

    async Task<ContentHash> Paper(PartyId concerns)
    {
        using ByteArrayContent content = new(Encoding.UTF8.GetBytes($"{PaperText}: signed {Visitor}"));
        content.Headers.ContentType = new("text/plain");
        var answer = await RunningHouse.Answer(await house.Http.PostAsync($"/api/documents?concerns={concerns}", content, Ct), HttpStatusCode.Created);
        return ContentHash.FromDigest(Custody.Transparency.Hash.Parse((string)answer["hash"]!).ToArray());
    }

    async Task<ContentHash> Picture(StreamName bat, PartyId by)
    {
        using ByteArrayContent content = new(SamplePictures.CameraJpeg(make: Camera));
        content.Headers.ContentType = new("image/jpeg");
        var answer = await RunningHouse.Answer(await house.Http.PostAsync("/api/photographs", content, Ct), HttpStatusCode.Created);
        await house.Do(bat, new PhotographBat(
            [new(new PictureHash((string)answer["released"]!), (string)answer["original"]!, BatView.WholeLength, Lighting.Ordinary, ScaleShown.Nothing, null, (string)answer["device"]!, null)], null, Place)
        { By = by });
        return ContentHash.FromDigest(Custody.Transparency.Hash.Parse((string)answer["original"]!).ToArray());
    }

    async Task<byte[]> Dossier(StreamName bat, string choice)
    {
        var answer = await house.Send($"/api/bats/{bat.Id}/dossier", choice);
        Assert.True(answer.IsSuccessStatusCode, await answer.Content.ReadAsStringAsync(Ct));
        var zip = await answer.Content.ReadAsByteArrayAsync(Ct);
        for (var i = 0; i < 100 && Directory.EnumerateFiles(house.Place.Folder("handing-out"), "*", SearchOption.AllDirectories).Any(); i++) await Task.Delay(20, Ct);
        return zip;
    }

    static async Task Run(NpgsqlConnection admin, string sql)
    {
        await using var command = new NpgsqlCommand(sql, admin);
        await command.ExecuteNonQueryAsync(Ct);
    }

    static void Copy(string from, string to)
    {
        Directory.CreateDirectory(to);
        foreach (var folder in Directory.EnumerateDirectories(from)) Copy(folder, Path.Combine(to, Path.GetFileName(folder)));
        foreach (var file in Directory.EnumerateFiles(from).Where(f => !f.EndsWith(".pid", StringComparison.Ordinal) && !Path.GetFileName(f).StartsWith(".s.", StringComparison.Ordinal)))
        {
            try
            {
                File.Copy(file, Path.Combine(to, Path.GetFileName(file)));
            }
            catch (FileNotFoundException)
            {
                // A running server drops files of its own; what it dropped is in the log that is copied too.
            }
        }
    }
}
