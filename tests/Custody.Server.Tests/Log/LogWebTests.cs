using System.Net;
using System.Text.Json.Nodes;
using Custody.Server.Tests.Database;
using Custody.Transparency;

namespace Custody.Server.Tests.Log;

/// <summary>What anybody may ask of the log, over a real connection.</summary>
public sealed class LogWebTests(PostgresForTests postgres) : IClassFixture<PostgresForTests>, IAsyncLifetime
{
    LogServer server = null!;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync() => server = await LogServer.Start(postgres, Ct);

    public ValueTask DisposeAsync() => server.DisposeAsync();

    [Fact]
    public async Task The_checkpoint_is_text_that_caches_must_ask_for_each_time_and_tiles_are_kept_for_ever()
    {
        await server.Add(2, Ct);
        await server.Rest(Ct);
        var checkpoint = await server.Http.GetAsync("/checkpoint", Ct);
        Assert.Equal("text/plain; charset=utf-8", checkpoint.Content.Headers.ContentType!.ToString());
        Assert.True(checkpoint.Headers.CacheControl!.NoCache);
        using HttpRequestMessage again = new(HttpMethod.Get, "/checkpoint");
        again.Headers.IfNoneMatch.Add(checkpoint.Headers.ETag!);
        Assert.Equal(HttpStatusCode.NotModified, (await server.Http.SendAsync(again, Ct)).StatusCode);
        var size = (await Newest()).Size;
        var tile = await server.Http.GetAsync($"/tile/0/000.p/{size}", Ct);
        Assert.Equal("application/octet-stream", tile.Content.Headers.ContentType!.ToString());
        Assert.Contains("immutable", tile.Headers.CacheControl!.ToString(), StringComparison.Ordinal);
        Assert.Equal(size * 32, (await tile.Content.ReadAsByteArrayAsync(Ct)).Length);
        Assert.Equal(size * 66, (await server.Http.GetByteArrayAsync($"/tile/entries/000.p/{size}", Ct)).Length);
    }

    [Fact]
    public async Task What_is_no_tile_of_this_log_is_not_there_and_no_cache_may_remember_that()
    {
        await server.Add(2, Ct);
        foreach (var path in new[]
        {
            "/tile/0/000.p/0", // an empty tile must not be served
            "/tile/0/000.p/256",
            "/tile/0/000.p/01",
            "/tile/0/0",
            "/tile/0/x000/000.p/1",
            "/tile/00/000.p/1",
            "/tile/64/000.p/1",
            "/tile/-1/000.p/1",
            "/tile/entries/000.p/1/",
            "/tile/entries//000.p/1",
            "/tile/entries/..%2F..%2Fcheckpoint",
            "/tile/0/000.new",
            "/tile/0/001.p/1",
            "/tile/0/000", // not full yet
        })
        {
            var answer = await server.Http.GetAsync(path, Ct);
            Assert.True(answer.StatusCode == HttpStatusCode.NotFound, path);
            Assert.True(answer.Headers.CacheControl!.NoStore, path);
            Assert.Empty(await answer.Content.ReadAsByteArrayAsync(Ct));
        }
    }

    [Fact]
    public async Task Every_size_ever_signed_stays_listed_fetched_read_and_proved_and_partial_tiles_go_once_theirs_is_full()
    {
        foreach (var more in new[] { 1, 2, 260 }) await server.Add(more, Ct);
        await server.Rest(Ct);
        var newest = await Newest();
        var listed = JsonNode.Parse(await server.Http.GetStringAsync("/log/checkpoints", Ct))!.AsArray();
        Assert.Equal(newest.Size, (long)listed[0]!["size"]!);
        Assert.True(listed.Count >= 3);
        Assert.False(Directory.Exists(Path.Combine(server.Place.DataFolder, "log", "tile", "0", "000.p")));
        Assert.True(Directory.Exists(Path.Combine(server.Place.DataFolder, "log", "tile", "0", "001.p")));
        foreach (var row in listed)
        {
            var size = (long)row!["size"]!;
            var old = Read(await server.Http.GetByteArrayAsync($"/log/checkpoints/{size}", Ct));
            Assert.Equal(((string)row["root"]!, size), (old.Root.Standard, old.Size));
            Assert.Equal(old.Root, Merkle.Root(size, Tiles.Reader(size, t => server.Http.GetByteArrayAsync("/" + t.Path, Ct).Result)));
            var proof = Hashes(JsonNode.Parse(await server.Http.GetStringAsync($"/log/consistency/{size}/{newest.Size}", Ct))!["proof"]!);
            Assert.True(Merkle.VerifyConsistency(size, old.Root, newest.Size, newest.Root, proof));
            var included = JsonNode.Parse(await server.Http.GetStringAsync($"/log/inclusion/0?size={size}", Ct))!;
            Assert.True(Merkle.VerifyInclusion(Hash.ParseStandard((string)included["leaf"]!), 0, size, Hashes(included["proof"]!), old.Root));
        }
        Assert.Equal(
            (long)listed[1]!["size"]!, (long)JsonNode.Parse(await server.Http.GetStringAsync($"/log/checkpoints?below={newest.Size}", Ct))![0]!["size"]!);
    }

    [Fact]
    public async Task A_width_that_was_never_signed_is_cut_from_the_wider_tile()
    {
        await server.Add(260, Ct);
        var full = await server.Http.GetByteArrayAsync("/tile/entries/000", Ct);
        foreach (var width in new[] { 1, 77, 255 })
            Assert.Equal(full[..(width * 66)], await server.Http.GetByteArrayAsync($"/tile/entries/000.p/{width}", Ct));
    }

    [Fact]
    public async Task Whoever_knows_a_stream_gets_its_head_its_proofs_and_how_many_entries_came_later()
    {
        var stream = await server.Add(2, Ct);
        await server.Rest(Ct);
        var headNote = SignedNote.Parse(await server.Http.GetByteArrayAsync($"/log/heads/{stream}", Ct));
        Assert.True(headNote.Verify(server.Desk.Key).Holds);
        var head = Head.Read(headNote);
        Assert.Equal((stream.ToString(), 1L), (head.Stream, head.N));
        var answer = await server.Http.GetAsync($"/log/proofs/{stream}/1", Ct);
        Assert.EndsWith(".tlog-proof", answer.Content.Headers.ContentDisposition!.FileName, StringComparison.Ordinal);
        var bytes = await answer.Content.ReadAsByteArrayAsync(Ct);
        var proof = TlogProof.Parse(bytes);
        var leaf = new LogRecord(head.Entry, SlotTag.Compute(server.Place.Origin, stream.ToString(), 1)).Leaf();
        Assert.True(proof.Includes(leaf));
        Assert.Equal(bytes, await server.Http.GetByteArrayAsync($"/log/proofs/{proof.Index}", Ct));
        Assert.Equal((0L, true), await Later($"{stream}/1/{head.Entry.Text}"));
        Assert.Equal((0L, false), await Later($"{stream}/1/{Hash.Of("other"u8).Text}"));
        Assert.Equal((0L, false), await Later($"{stream}/2/{head.Entry.Text}"));

        async Task<(long, bool)> Later(string of)
        {
            var said = JsonNode.Parse(await server.Http.GetStringAsync("/log/later/" + of, Ct))!;
            return ((long)said["later"]!, (bool)said["fits"]!);
        }
    }

    [Fact]
    public async Task What_the_log_does_not_hold_is_not_found()
    {
        await server.Add(1, Ct);
        foreach (var path in new[]
        {
            "/log/checkpoints/999999",
            "/log/checkpoints/-1",
            "/log/checkpoints/1x",
            "/log/inclusion/999999",
            "/log/inclusion/-1",
            "/log/inclusion/0?size=999999",
            "/log/consistency/5/4",
            "/log/consistency/-1/1",
            "/log/proofs/999999",
            "/log/proofs/bat/77777777777777777777777770/1",
            "/log/proofs/bat/x/1",
            "/log/heads/bat/77777777777777777777777770",
            "/log/heads/x/y",
            "/log/later/bat/77777777777777777777777770/1/x",
        })
            Assert.True((await server.Http.GetAsync(path, Ct)).StatusCode == HttpStatusCode.NotFound, path);
    }

    async Task<Checkpoint> Newest() => Read(await server.Http.GetByteArrayAsync("/checkpoint", Ct));

    static Checkpoint Read(byte[] note) => Checkpoint.Read(SignedNote.Parse(note));

    static List<Hash> Hashes(JsonNode proof) => [.. proof.AsArray().Select(h => Hash.ParseStandard((string)h!))];
}
