using System.Text;
using Custody.Ledger;
using Custody.Server.Cosigning;
using Custody.Server.Operating;
using Custody.Server.Recording;
using Custody.Server.Tests.Database;
using Custody.Server.Tests.Log;
using Custody.Transparency;

namespace Custody.Server.Tests.Cosigning;

/// <summary>Two ledgers that cosign each other, one of which leads a double life: database, keys and tiles are copied, and both go on recording.</summary>
public sealed class ForkTests(PostgresForTests postgres) : IClassFixture<PostgresForTests>, IAsyncLifetime
{
    readonly DirectoryInfo folder = Directory.CreateTempSubdirectory("custody-fork-");
    DatabaseCopies copies = null!;
    LogServer honest = null!, fork = null!, other = null!;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        copies = new(postgres);
        LedgerPlace place = new("one.example", await copies.Copy(postgres.ConnectionString), Directory.CreateTempSubdirectory("custody-one-").FullName, "one");
        other = await LogServer.Start(postgres, Ct, "two.example");
        var before = await LogServer.On(place, Ct);
        await Trust(other, before);
        await Trust(before, other);
        await Grow(other, 4);
        await Grow(before, 5);
        Assert.True((await Gathered(before)).HasQuorum);
        Assert.True((await Gathered(other)).HasQuorum);
        await before.Halt();
        var copied = place with { ConnectionString = await copies.Copy(place.ConnectionString), DataFolder = DatabaseCopies.Copy(new DirectoryInfo(place.DataFolder)) };
        honest = await LogServer.On(place, Ct);
        fork = await LogServer.On(copied, Ct);
    }

    static async Task Trust(LogServer server, LogServer cosigner)
    {
        var key = cosigner.Get<CosignerKey>().Make(cosigner.Place.Origin + "/cosigner");
        await File.WriteAllTextAsync(server.Place.Folder("cosigning.policy"), $"log {cosigner.Desk.Key} {cosigner.Url}\nwitness other {key} {cosigner.Url}/cosign\nquorum other\n", Ct);
    }

    /// <summary>Records until the tree has so many leaves.</summary>
    static async Task Grow(LogServer server, int size)
    {
        while ((await server.Desk.Newest(Ct))?.Checkpoint.Size is not { } now || now < size) await server.Add(1, Ct);
        Assert.Equal(size, (await server.Desk.Newest(Ct))!.Checkpoint.Size);
    }

    static async Task<Gathered> Gathered(LogServer server) => (await server.Get<Cosigners>().Gather(Ct))!;

    [Fact]
    public async Task Of_a_ledger_told_in_two_ways_only_one_is_cosigned_and_what_was_kept_convicts_its_key()
    {
        foreach (var (seen, forked, convictsAlone) in new[] { (8, 10, false), (11, 14, true) })
        {
            await Grow(honest, seen);
            Assert.True((await Gathered(honest)).HasQuorum);
            await Grow(fork, forked);
            var refused = await Gathered(fork);
            Assert.False(refused.HasQuorum);
            Assert.True(Assert.Single(refused.Standings).IsAlarm, refused.Standings[0].Fault);
            Assert.Null(fork.Get<Cosigners>().NoteAt(forked));
            var kept = (await other.Get<CosignDesk>().Evidence(Ct)).Single(e => Checkpoint.Read(e.Request.Checkpoint).Equals(refused.Checkpoint));
            Assert.Equal(seen, Checkpoint.Read(SignedNote.Parse(Encoding.UTF8.GetBytes(kept.Cosigned))).Size);
            Assert.Equal(convictsAlone, kept.Proof is not null);
            await Convict(kept, convictsAlone);
        }
        // The other ledger went its way, and this one's honest history goes on being cosigned.
        await Grow(honest, 16);
        Assert.True((await Gathered(honest)).HasQuorum);
        Assert.True((await Gathered(other)).HasQuorum);
    }

    /// <summary>By the files that the keeper's command writes, and the command that anybody has.</summary>
    async Task Convict(ForkEvidence kept, bool alone)
    {
        var path = CosignCommand.Write(kept, folder, 1);
        if (alone) Assert.Equal((0, $"CONVICTS {honest.Desk.Key}"), Verify("misconduct", "check", path + ".misconduct.json"));
        else Assert.False(File.Exists(path + ".misconduct.json"));
        // From a size that is a power of two the proof leaves the earlier root out: either life's own tiles give it.
        foreach (var life in alone ? new string?[] { null, fork.Url } : [fork.Url])
        {
            var proof = Path.Combine(folder.FullName, "proof.json");
            string[] online = life is null ? [] : ["--online", life];
            Assert.Equal(0, Verify(["misconduct", "make", path + ".cosigned", path + ".request", "--key", honest.Desk.Key.Text, "--out", proof, .. online]).Exit);
            Assert.Equal((0, $"CONVICTS {honest.Desk.Key}"), Verify("misconduct", "check", proof));
        }
    }

    static (int Exit, string Said) Verify(params string[] arguments)
    {
        using StringWriter output = new(), errors = new();
        return (Verifier.CommandLine.Run(arguments, output, errors, TimeProvider.System), $"{output}{errors}".Split('\n')[0]);
    }

    public async ValueTask DisposeAsync()
    {
        foreach (var server in new[] { honest, fork, other }) await server.DisposeAsync();
        await copies.Drop(fork.Place.ConnectionString);
        await copies.Drop(honest.Place.ConnectionString);
        folder.Delete(recursive: true);
    }
}
