using System.Globalization;
using System.Net;
using System.Text;
using Custody.Ledger;
using Custody.Server.Cosigning;
using Custody.Server.Log;
using Custody.Server.Stamping;
using Custody.Server.Tests.Database;
using Custody.Server.Tests.Log;
using Custody.Transparency;
using Npgsql;

namespace Custody.Server.Tests.Cosigning;

/// <summary>Two real ledgers on the loopback interface that cosign each other.</summary>
public sealed class CosigningTests(PostgresForTests postgres) : IClassFixture<PostgresForTests>, IAsyncLifetime
{
    static readonly CancellationToken Ct = TestContext.Current.CancellationToken;

    LogServer one = null!, two = null!;

    public async ValueTask InitializeAsync()
    {
        one = await LogServer.Start(postgres, Ct, "one.example");
        two = await LogServer.Start(postgres, Ct, "two.example");
        foreach (var (server, other) in new[] { (one, two), (two, one) })
        {
            var key = other.Get<CosignerKey>().Make(other.Place.Origin + "/cosigner");
            await File.WriteAllTextAsync(server.Place.Folder("cosigning.policy"), $"log {other.Desk.Key} {other.Url}\nwitness other {key} {other.Url}/cosign\nquorum other\n", Ct);
        }
    }

    public async ValueTask DisposeAsync()
    {
        await one.DisposeAsync();
        await two.DisposeAsync();
    }

    static async Task<Gathered> Gathered(LogServer server) => (await server.Get<Cosigners>().Gather(Ct))!;

    [Fact]
    public async Task Two_ledgers_cosign_each_other_and_the_cosigned_checkpoint_stays()
    {
        for (var round = 0; round < 3; round++)
            foreach (var (server, other) in new[] { (one, two), (two, one) })
            {
                await server.Add(2, Ct);
                var gathered = await Gathered(server);
                Assert.True(gathered.HasQuorum, string.Join("; ", gathered.Standings.Select(s => s.Fault)));
                var kept = SignedNote.Parse(server.Get<Cosigners>().NoteAt(gathered.Checkpoint.Size));
                using var cosigner = other.Get<CosignerKey>().Open()!;
                Assert.True(kept.Verify(server.Desk.Key, cosigner.Verifier) is { Holds: true, Signatures.Count: 2 });
                foreach (var path in new[] { "/checkpoint", $"/log/checkpoints/{gathered.Checkpoint.Size}" })
                    Assert.Equal(kept.ToArray(), await server.Http.GetByteArrayAsync(path, Ct));
            }
        // What the other side remembers is what anybody may read there.
        var hex = Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData("one.example"u8));
        var remembered = SignedNote.Parse(await two.Http.GetByteArrayAsync($"/cosign/{hex}/checkpoint", Ct));
        Assert.Equal((await Gathered(one)).Checkpoint, Checkpoint.Read(remembered));
        Assert.Equal(HttpStatusCode.NotFound, (await two.Http.GetAsync($"/cosign/{new string('0', 64)}/checkpoint", Ct)).StatusCode);
    }

    [Fact]
    public async Task A_fork_of_the_same_size_is_refused_and_the_evidence_convicts()
    {
        await one.Add(3, Ct);
        var honest = (await Gathered(one)).Checkpoint;
        var fork = (honest with { Root = Hash.Of("another history"u8) }).Sign(one.Get<LogKeys>().Signer);
        var answer = await Post(two, new AddCheckpoint(honest.Size, [], fork).ToArray());
        Assert.Equal((HttpStatusCode.Conflict, AddCheckpoint.SizeType), (answer.StatusCode, answer.Content.Headers.ContentType!.MediaType));
        var evidence = Assert.Single(await two.Get<CosignDesk>().Evidence(Ct));
        AssertConvicts(evidence);
        Assert.Equal(honest, Checkpoint.Read(SignedNote.Parse(Encoding.UTF8.GetBytes(evidence.Cosigned))));
    }

    [Fact]
    public async Task A_history_told_anew_after_it_was_cosigned_is_refused_kept_and_raises_an_alarm()
    {
        // The same ledger twice, from one key: what was cosigned of the first life is denied by the second.
        await one.Add(5, Ct);
        await Gathered(one);
        await using var again = await Forked(one);
        await again.Add(9, Ct);
        var gathered = await Gathered(again);
        var standing = Assert.Single(gathered.Standings);
        Assert.True(standing.IsAlarm);
        Assert.False(gathered.HasQuorum);
        Assert.Null(again.Get<Cosigners>().NoteAt(gathered.Checkpoint.Size));
        AssertConvicts(Assert.Single(await two.Get<CosignDesk>().Evidence(Ct), e => e.Origin == "one.example" && Checkpoint.Read(e.Request.Checkpoint).Equals(gathered.Checkpoint)));
        // And the honest history is still cosigned.
        await one.Add(2, Ct);
        Assert.True((await Gathered(one)).HasQuorum);
    }

    /// <summary>The file alone convicts: nobody's word, and no tree of anybody's, is needed to see it.</summary>
    void AssertConvicts(ForkEvidence evidence)
    {
        var read = MisconductFile.Read(MisconductFile.Write(evidence.Proof!));
        Assert.Equal(one.Desk.Key, read.Key);
        Assert.True(MisconductJudge.Judge(read).Convicts);
    }

    [Fact]
    public async Task Requests_that_prove_nothing_never_take_the_room_of_those_that_convict()
    {
        await one.Add(5, Ct);
        var old = (await Gathered(one)).Checkpoint;
        await one.Add(1, Ct);
        var next = SignedNote.Parse(await one.Http.GetByteArrayAsync("/checkpoint", Ct));
        // Anybody can take the honest checkpoint and put whatever they like before it.
        for (var i = 0; i < 101; i++)
            Assert.Equal(HttpStatusCode.UnprocessableEntity, (await Post(two, new AddCheckpoint(old.Size, [Hash.Of([(byte)i])], next).ToArray())).StatusCode);
        var kept = await two.Get<CosignDesk>().Evidence(Ct);
        Assert.Equal(100, kept.Count);
        Assert.All(kept, e => Assert.Null(e.Proof));
        await Post(two, new AddCheckpoint(old.Size, [], (old with { Root = Hash.Of("another history"u8) }).Sign(one.Get<LogKeys>().Signer)).ToArray());
        AssertConvicts((await two.Get<CosignDesk>().Evidence(Ct)).Single(e => e.Proof is not null));
    }

    [Fact]
    public async Task A_broken_policy_is_told_inside_and_not_outside()
    {
        await one.Add(1, Ct);
        await File.WriteAllTextAsync(two.Place.Folder("cosigning.policy"), "nonsense\n", Ct);
        File.SetLastWriteTimeUtc(two.Place.Folder("cosigning.policy"), DateTime.UtcNow.AddSeconds(5));
        var answer = await Post(two, new AddCheckpoint(0, [], SignedNote.Parse(await one.Http.GetByteArrayAsync("/checkpoint", Ct))).ToArray());
        Assert.Equal((HttpStatusCode.ServiceUnavailable, ""), (answer.StatusCode, await answer.Content.ReadAsStringAsync(Ct)));
    }

    [Fact]
    public async Task Nobody_cosigns_for_oneself()
    {
        await one.Add(1, Ct);
        var note = SignedNote.Parse(await one.Http.GetByteArrayAsync("/checkpoint", Ct));
        await File.AppendAllTextAsync(one.Place.Folder("cosigning.policy"), $"log {one.Desk.Key}\n", Ct);
        File.SetLastWriteTimeUtc(one.Place.Folder("cosigning.policy"), DateTime.UtcNow.AddSeconds(5));
        Assert.Equal(HttpStatusCode.NotFound, (await Post(one, new AddCheckpoint(0, [], note).ToArray())).StatusCode);
    }

    /// <summary>A second ledger of the same name and log key with a history of its own.</summary>
    async Task<LogServer> Forked(LogServer server)
    {
        var fork = await LogServer.Start(postgres, Ct, server.Place.Origin, server.Place.Folder("keys/log"));
        File.Copy(server.Place.Folder("cosigning.policy"), fork.Place.Folder("cosigning.policy"));
        return fork;
    }

    [Fact]
    public async Task A_ledger_that_lost_its_tail_is_told_so_by_its_cosigner()
    {
        await one.Add(8, Ct);
        await Gathered(one);
        await using var again = await Forked(one);
        await again.Add(1, Ct);
        Assert.Contains("lost its tail", Assert.Single((await Gathered(again)).Standings).Fault, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Of_many_requests_at_once_none_rolls_the_record_back()
    {
        await one.Add(1, Ct);
        await Gathered(one);
        List<Checkpoint> points = [];
        for (var i = 0; i < 6; i++)
        {
            await one.Add(1, Ct);
            points.Add(Checkpoint.Read(SignedNote.Parse(await one.Http.GetByteArrayAsync("/checkpoint", Ct))));
        }
        var before = Checkpoint.Read(SignedNote.Parse(one.Get<Cosigners>().NoteAt(one.Get<Cosigners>().Sizes()[^1])!));
        var tiles = one.Get<TileFolder>();
        var answers = await Task.WhenAll(points.Select(p => Post(two, new AddCheckpoint(
            before.Size, Merkle.ConsistencyProof(before.Size, p.Size, tiles.Hashes(p.Size)), SignedNote.Parse(one.Get<Checkpoints>().FileAt(p.Size)!)).ToArray())));
        // All say the same size before: exactly one of them can be right when it is looked at.
        Assert.Single(answers, a => a.StatusCode == HttpStatusCode.OK);
        Assert.Equal(5, answers.Count(a => a.StatusCode == HttpStatusCode.Conflict));
        Assert.DoesNotContain(await two.Get<CosignDesk>().Evidence(Ct), e => e.Origin == "one.example" && points.Contains(Checkpoint.Read(e.Request.Checkpoint)));
    }

    [Theory]
    [InlineData("hello", HttpStatusCode.BadRequest)]
    [InlineData("", HttpStatusCode.BadRequest)]
    public async Task What_is_no_request_is_refused(string body, HttpStatusCode status) => Assert.Equal(status, (await Post(two, Encoding.UTF8.GetBytes(body))).StatusCode);

    [Fact]
    public async Task Unknown_ledgers_foreign_signatures_and_long_bodies_are_refused()
    {
        using var stranger = SignerKey.FromSeed("stranger.example", Enumerable.Repeat((byte)5, 32).ToArray());
        using var forger = SignerKey.FromSeed("one.example", Enumerable.Repeat((byte)6, 32).ToArray());
        SignedNote By(SignerKey key) => new Checkpoint(key.Verifier.Name, 1, Hash.Of("x"u8)).Sign(key);
        Assert.Equal(HttpStatusCode.NotFound, (await Post(two, new AddCheckpoint(0, [], By(stranger)).ToArray())).StatusCode);
        Assert.Equal(HttpStatusCode.Forbidden, (await Post(two, new AddCheckpoint(0, [], By(forger)).ToArray())).StatusCode);
        Assert.Equal(HttpStatusCode.RequestEntityTooLarge, (await Post(two, new byte[AddCheckpoint.MaxBytes + 1])).StatusCode);
    }

    [Fact]
    public async Task A_cosigner_that_is_away_is_named_and_stops_nothing()
    {
        await one.Add(1, Ct);
        using var away = SignerKey.FromSeed("away.example", Enumerable.Repeat((byte)8, 32).ToArray(), VerifierKey.Cosignature);
        var policy = one.Place.Folder("cosigning.policy");
        var text = await File.ReadAllTextAsync(policy, Ct);
        await File.WriteAllTextAsync(policy, text.Replace("quorum", $"witness away {away.Verifier} http://127.0.0.1:9\nwitness far {Far()} http://far.example\nquorum", StringComparison.Ordinal), Ct);
        File.SetLastWriteTimeUtc(policy, DateTime.UtcNow.AddSeconds(5));
        var standings = (await Gathered(one)).Standings.ToDictionary(s => s.Name, s => s.Fault);
        Assert.Null(standings["other"]);
        Assert.Contains("did not answer", standings["away"], StringComparison.Ordinal);
        Assert.Contains("neither https", standings["far"], StringComparison.Ordinal);
        // Those that are away are left out for a while; the others are asked all the same, and health tells.
        await one.Add(1, Ct);
        var gathered = (await one.Get<Cosigners>().Gather(Ct, patient: true))!;
        Assert.True(gathered.HasQuorum);
        Assert.Contains("did not answer", gathered.Standings.Single(s => s.Name == "away").Fault, StringComparison.Ordinal);
        var health = await one.Http.GetStringAsync("/health", Ct);
        Assert.Contains("is cosigned as the policy asks.", health, StringComparison.Ordinal);
        Assert.Contains("away", health, StringComparison.Ordinal);
    }

    static string Far()
    {
        using var far = SignerKey.FromSeed("far.example", Enumerable.Repeat((byte)9, 32).ToArray(), VerifierKey.Cosignature);
        return far.Verifier.Text;
    }

    [Fact]
    public async Task A_dossier_stands_under_a_checkpoint_cosigned_as_the_policy_asks_where_one_covers_it()
    {
        await one.Add(2, Ct);
        var cosigned = await Gathered(one);
        var timed = one.Get<TimedCheckpoints>();
        // The other side goes away: the next checkpoint is cosigned by nobody.
        var policy = await File.ReadAllTextAsync(one.Place.Folder("cosigning.policy"), Ct);
        await File.WriteAllTextAsync(one.Place.Folder("cosigning.policy"), policy.Replace(two.Url + "/cosign", "http://127.0.0.1:9", StringComparison.Ordinal), Ct);
        File.SetLastWriteTimeUtc(one.Place.Folder("cosigning.policy"), DateTime.UtcNow.AddSeconds(5));
        await one.Add(1, Ct);
        var newest = (await one.Desk.Newest(Ct))!;
        // Or only by somebody whom the policy does not ask for.
        using var third = SignerKey.FromSeed("third.example", Enumerable.Repeat((byte)7, 32).ToArray(), VerifierKey.Cosignature);
        var unasked = SignedNote.Parse(Encoding.UTF8.GetBytes(newest.Note));
        unasked = unasked.With(third.Cosign(unasked.TextBytes, 1_900_000_000));
        Durable.Write(Path.Combine(one.Folder, "cosigned", newest.Checkpoint.Size.ToString("D12", CultureInfo.InvariantCulture)), unasked.ToArray());
        Assert.Equal(cosigned.Note.ToArray(), Encoding.UTF8.GetBytes((await timed.Best(newest, cosigned.Checkpoint.Size, Ct)).Note));
        Assert.Equal(unasked.ToArray(), Encoding.UTF8.GetBytes((await timed.Best(newest, newest.Checkpoint.Size, Ct)).Note));
        // The same for the timeline: the tree before, and the newest one because there is no better above.
        Assert.Equal([$"{cosigned.Checkpoint.Size}.checkpoint", $"{cosigned.Checkpoint.Size}.consistency"],
            timed.Around([cosigned.Checkpoint.Size], cosigned.Checkpoint.Size).Keys.Order(StringComparer.Ordinal));
    }

    [Fact]
    public async Task Ones_own_cosigner_counts_for_nothing()
    {
        await one.Add(1, Ct);
        using var own = one.Get<CosignerKey>().Open()!;
        await File.WriteAllTextAsync(one.Place.Folder("cosigning.policy"), $"witness self {own.Verifier} {one.Url}/cosign\nquorum self\n", Ct);
        File.SetLastWriteTimeUtc(one.Place.Folder("cosigning.policy"), DateTime.UtcNow.AddSeconds(5));
        Assert.Null(await one.Get<Cosigners>().Gather(Ct));
    }

    [Fact]
    public async Task Evidence_cannot_be_removed()
    {
        await one.Add(1, Ct);
        var honest = (await Gathered(one)).Checkpoint;
        await Post(two, new AddCheckpoint(honest.Size, [], (honest with { Root = Hash.Of("removed?"u8) }).Sign(one.Get<LogKeys>().Signer)).ToArray());
        await using var command = two.Get<NpgsqlDataSource>().CreateCommand($"delete from {two.Place.Schema}.custody_fork");
        await Assert.ThrowsAsync<PostgresException>(() => command.ExecuteNonQueryAsync(Ct));
    }

    static Task<HttpResponseMessage> Post(LogServer to, byte[] body) => to.Http.PostAsync("/cosign/add-checkpoint", new ByteArrayContent(body), Ct);
}
