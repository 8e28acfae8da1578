using System.Text;
using Custody.Server.Log;
using Custody.Server.Tests.Database;
using Custody.Transparency;
using Custody.Transparency.Tests;

namespace Custody.Server.Tests.Log;

/// <summary>A stock client over the network: it follows an honest log for as long as it grows, and refuses every other.</summary>
public sealed class FollowingTests(PostgresForTests postgres, GoFollower go) : IClassFixture<PostgresForTests>, IClassFixture<GoFollower>, IAsyncLifetime
{
    LogServer server = null!;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync() => server = await LogServer.Start(postgres, Ct);

    public ValueTask DisposeAsync() => server.DisposeAsync();

    [Fact]
    public async Task A_client_nobody_here_wrote_follows_the_log_as_it_grows_past_full_tiles()
    {
        if (!GoProgram.Found) return;
        using var follower = go.Follow(server.Url, server.Desk.Key.Text);
        var before = 0L;
        foreach (var more in new[] { 1, 5, 250, 3, 270 })
        {
            await server.Add(more, Ct);
            var answer = follower.Look();
            Assert.StartsWith("ok ", answer, StringComparison.Ordinal);
            var size = long.Parse(answer[3..], System.Globalization.CultureInfo.InvariantCulture);
            Assert.True(size >= before + more, answer);
            before = size;
        }
    }

    [Theory]
    [InlineData("entries")]
    [InlineData("0")]
    public async Task A_tile_with_one_changed_byte_is_refused(string level)
    {
        if (!GoProgram.Found) return;
        await server.Add(3, Ct);
        await server.Rest(Ct);
        foreach (var tile in Directory.GetFiles(Path.Combine(server.Folder, "tile", level), "*", SearchOption.AllDirectories))
        {
            var bytes = await File.ReadAllBytesAsync(tile, Ct);
            bytes[^1] ^= 1;
            await File.WriteAllBytesAsync(tile, bytes, Ct);
        }
        using var follower = go.Follow(server.Url, server.Desk.Key.Text);
        Assert.StartsWith("exit 1: ", follower.Look(), StringComparison.Ordinal);
        Assert.Matches("are not the leaves of the tree|inconsistent tile", follower.Said);
    }

    [Fact]
    public async Task A_history_written_anew_and_signed_with_the_rightful_key_is_refused_by_whoever_saw_the_old_one()
    {
        if (!GoProgram.Found) return;
        await server.Add(3, Ct);
        await server.Rest(Ct);
        using var witness = go.Follow(server.Url, server.Desk.Key.Text);
        Assert.StartsWith("ok ", witness.Look(), StringComparison.Ordinal);
        WriteAnew();
        using var newcomer = go.Follow(server.Url, server.Desk.Key.Text);
        Assert.StartsWith("ok ", newcomer.Look(), StringComparison.Ordinal);
        Assert.StartsWith("exit 1: ", witness.Look(), StringComparison.Ordinal);
        Assert.Contains("is another than", witness.Said, StringComparison.Ordinal);
    }

    // The second leaf becomes another and one is added; tiles, root and signature are as good as any.
    void WriteAnew()
    {
        var old = Checkpoint.Read(SignedNote.Parse(File.ReadAllBytes(Path.Combine(server.Folder, "checkpoint"))));
        var records = new TileFolder(server.Folder).Bundle(old.Size - 1, old.Size);
        records = [records[0], new LogRecord(Hash.Of("another"u8), records[1].Slot), .. records[2..], new LogRecord(Hash.Of("more"u8), Hash.Of("slot"u8))];
        Directory.Delete(Path.Combine(server.Folder, "tile"), recursive: true);
        new TileFolder(server.Folder).Extend(0, records.Length, records);
        var tree = new Frontier();
        foreach (var record in records) tree.Append(record.Leaf());
        using var key = SignerKey.Parse(Encoding.UTF8.GetString(File.ReadAllBytes(Path.Combine(server.Place.Folder("keys/log"), "signer"))).Trim());
        File.WriteAllBytes(Path.Combine(server.Folder, "checkpoint"), new Checkpoint(old.Origin, records.Length, tree.Root()).Sign(key).ToArray());
    }
}
