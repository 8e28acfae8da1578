using System.Globalization;
using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Auditing;
using Custody.Server.Cosigning;
using Custody.Server.Finding;
using Custody.Server.Log;
using Custody.Server.Photographs;
using Custody.Server.Recording;
using Custody.Server.Tests.Database;
using Custody.Server.Tests.Photographs;
using Custody.Server.Tests.Recording;
using Custody.Transparency;
using Microsoft.Extensions.DependencyInjection;

namespace Custody.Server.Tests.Auditing;

/// <summary>A ledger that has lived a little, made once; every test damages a copy of its database and folder.</summary>
public sealed class AuditStage : IAsyncLifetime
{
    readonly PostgresForTests postgres = new();
    LedgerForTests ledger = null!;

    public PostgresForTests Postgres => postgres;
    public DatabaseCopies Copies { get; private set; } = null!;
    public LedgerPlace Place => ledger.Place;
    public StreamName First { get; private set; } = null!;
    public StreamName Second { get; private set; } = null!;
    public string Picture { get; private set; } = "";
    public string Paper { get; private set; } = "";

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        await postgres.InitializeAsync();
        Copies = new(postgres);
        ledger = await LedgerForTests.Open(postgres);
        await ledger.Get<Sequencer>().StartAsync(Ct);
        var owner = await ledger.Party("Ada Quill");
        var house = await ledger.Party("Bram Oake");
        (First, Second) = (await ledger.Bat(owner), await ledger.Bat(owner));
        await ledger.Get<KeyHandover>().Published(Ct);
        await Photograph(owner);
        Paper = (await ledger.Get<DocumentDoor>().Receive(new MemoryStream("a receipt"u8.ToArray()), "paper.txt", "text/plain", Ct)).Accepted!.Hash.Hex;
        await Do(First, LedgerForTests.Release(owner, house) with { PaperHash = Custody.Transparency.Hash.ParseHex(Paper).Text });
        await Do(Second, LedgerForTests.Release(owner, house));
        await ChangeKey();
        // Past a full tile, so that there is one that is never written again.
        for (var i = 0; i < 260; i++)
        {
            await ledger.Party($"Owner {i}");
            if (i % 20 == 0) await ledger.Get<KeyHandover>().Published(Ct);
        }
        for (var i = 0; i < 24; i++) await Bat(owner, i);
        await ledger.Get<KeyHandover>().Published(Ct);
        while (await ledger.Get<SearchIndex>().Follow(Ct) > 0)
        {
        }
        await Cosign();
        await ledger.Get<Sequencer>().StopAsync(Ct);
        // One entry that still waits for its place.
        await ledger.Party("Cora Finch");
    }

    /// <summary>A bat registered by a submission that may be repeated.</summary>
    async Task Bat(PartyId owner, int i)
    {
        var number = i.ToString("D7", CultureInfo.InvariantCulture);
        Assert.IsType<Recorded>(await ledger.Recorder.Record(LedgerForTests.Fresh("bat"), new RegisterBat(
            number + CheckCharacter.Compute(number), Bats.Arrival.BroughtIn, owner, owner, AssertionBasis.HoldersWord, [new(owner, Fraction.Whole)], AssertionBasis.HoldersWord,
            "a bat", null, null)
        { By = owner }, new Request($"bat-{i}"), Ct));
    }

    /// <summary>Cosigns twice for each of some other ledgers, and keeps evidence against them.</summary>
    async Task Cosign()
    {
        ledger.Get<CosignerKey>().Make("ledger.example/cosigner");
        var others = Enumerable.Range(0, 12).Select(i => SignerKey.FromSeed($"other-{i}.example", [.. Enumerable.Repeat((byte)i, 32)])).ToList();
        await File.WriteAllTextAsync(Place.Folder("cosigning.policy"), string.Concat(others.Select(o => $"log {o.Verifier}\n")) + "quorum none\n", Ct);
        foreach (var other in others)
        {
            Hash[] leaves = [Hash.Of("a"u8), Hash.Of("b"u8)];
            var (one, two) = (new Checkpoint(other.Verifier.Name, 1, leaves[0]), new Checkpoint(other.Verifier.Name, 2, Merkle.Node(leaves[0], leaves[1])));
            foreach (var (old, proof, at, status) in new (long, Hash[], Checkpoint, int)[]
                { (0, [], one, 200), (1, [leaves[1]], two, 200), (2, [], two with { Root = leaves[1] }, 409), (2, [], one with { Root = leaves[1] }, 400) })
                Assert.Equal(status, (await ledger.Get<CosignDesk>().Answer(new AddCheckpoint(old, proof, at.Sign(other)).ToArray(), Ct)).Status);
            other.Dispose();
        }
    }

    async Task Photograph(PartyId owner)
    {
        var received = (await ledger.Get<PictureDoor>().Receive(new MemoryStream(SamplePictures.CameraJpeg()), "bat.jpg", "image/jpeg", Ct)).Accepted!;
        Picture = received.Released.Hex;
        await Do(First, new PhotographBat([new(new PictureHash(received.Released.Base64Url), received.Original.Base64Url, BatView.WholeLength, Lighting.Ordinary, ScaleShown.Ruler, null, null, null)], null, null) { By = owner });
    }

    async Task ChangeKey()
    {
        var own = (await ledger.Get<Histories>().All("ledger", Ct))[0];
        Assert.IsType<Recorded>(await ledger.Get<KeyHandover>().Change(
            note => ledger.Recorder.Record(own, new RotateKey(note) { By = PartyId.Ledger }, new Request(), Ct), compromised: false, Ct));
    }

    async Task Do(StreamName bat, BatCommand act) => Assert.IsType<Recorded>(await ledger.Recorder.Record(bat, act, new Request(), Ct));

    /// <summary>Damages a copy, by statements whose answers are wanted, and audits it.</summary>
    /// <param name="damage">Given the connection string of the copy.</param>
    public async Task<AuditReport> AuditAfter(Func<string, Task> damage, bool states)
    {
        var database = await Copies.Copy(Place.ConnectionString);
        try
        {
            await damage(Copies.Admin(database));
            return await Audit(Place with { ConnectionString = database }, states);
        }
        finally
        {
            await Copies.Drop(database);
        }
    }

    /// <summary>Damages a copy and audits it.</summary>
    /// <param name="sql">Run as superuser with triggers and foreign keys switched off; S stands for the schema.</param>
    /// <param name="files">What is done to the copy of the data folder.</param>
    public async Task<AuditReport> AuditAfter(string sql, Action<string>? files = null, bool states = false)
    {
        var database = await Copies.Copy(Place.ConnectionString);
        var folder = DatabaseCopies.Copy(new DirectoryInfo(Place.DataFolder));
        try
        {
            if (sql.Length > 0) await Copies.AsAdmin(database, "set session_replication_role = replica; " + sql.Replace("S.", Place.Schema + ".", StringComparison.Ordinal));
            files?.Invoke(folder);
            return await Audit(Place with { ConnectionString = database, DataFolder = folder }, states);
        }
        finally
        {
            await Copies.Drop(database);
            Directory.Delete(folder, recursive: true);
        }
    }

    public static async Task<AuditReport> Audit(LedgerPlace place, bool states = false)
    {
        ServiceCollection services = new();
        services.AddLogging();
        services.AddSingleton<TimeProvider>(new FakeClock());
        services.AddLedger(place);
        await using var built = services.BuildServiceProvider();
        return await built.GetRequiredService<Auditor>().Run(new(Values: true, states), new Silent(), Ct);
    }

    sealed class Silent : IProgress<string>
    {
        public void Report(string value)
        {
        }
    }

    public async ValueTask DisposeAsync()
    {
        await ledger.DisposeAsync();
        await postgres.DisposeAsync();
    }
}
