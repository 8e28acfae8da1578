using System.Security.Cryptography;
using System.Text;
using Custody.Bats;
using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Server.Tests.Database;
using Custody.Server.Tests.Recording;
using Custody.Transparency;
using Npgsql;

namespace Custody.Server.Tests.Log;

/// <summary>A fault between any two steps of the sequencer, then a new process on the same database and folder: afterwards every event is a leaf
/// exactly once, in an order that keeps each stream's numbers, under a signed root that the leaves give.</summary>
public sealed class SequencerTests(PostgresForTests postgres) : IClassFixture<PostgresForTests>, IAsyncLifetime
{
    LedgerForTests ledger = null!;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync() => ledger = await LedgerForTests.Open(postgres);

    public ValueTask DisposeAsync() => ledger.DisposeAsync();

    [Fact]
    public async Task The_first_leaf_of_a_ledger_is_its_opening()
    {
        await Restart(ledger);
        var first = await Bytes($"select e.bdata from {S}.custody_leaf l join {S}.mt_events e using (seq_id) where l.index = 0");
        Assert.IsType<LedgerOpened>(Custody.Ledger.EntryCodec.Read(first).Fact);
    }

    [Fact]
    public async Task A_crash_before_the_leaves_are_committed_loses_nothing()
    {
        await ledger.Party("Ada Quill");
        await using (var connection = await ledger.Get<NpgsqlDataSource>().OpenConnectionAsync(Ct))
        await using (var transaction = await connection.BeginTransactionAsync(Ct))
        {
            // As far as the sequencer gets before its commit: the rows are off the pending table, and the process dies.
            await new NpgsqlCommand($"delete from {S}.custody_pending", connection).ExecuteNonQueryAsync(Ct);
        }
        await RestartAndCheck();
    }

    [Fact]
    public async Task A_crash_between_leaves_and_tiles_is_made_good()
    {
        await ledger.Party("Bram Oake");
        await ledger.Get<Leaves>().Take(Ct);
        await RestartAndCheck();
    }

    [Fact]
    public async Task A_crash_between_tiles_and_checkpoint_is_made_good()
    {
        await ledger.Party("Cora Finch");
        var leaves = ledger.Get<Leaves>();
        await leaves.Take(Ct);
        var size = await leaves.Size(Ct);
        ledger.Get<TileFolder>().Extend(0, size, await leaves.Records(0, size, Ct));
        await RestartAndCheck();
    }

    [Fact]
    public async Task A_crash_between_the_checkpoint_outside_and_its_row_is_made_good()
    {
        await ledger.Party("Dell Moor");
        await Restart(ledger);
        await AsAdmin($"alter table {S}.custody_checkpoint disable trigger user; delete from {S}.custody_checkpoint; alter table {S}.custody_checkpoint enable trigger user");
        await RestartAndCheck();
        Assert.NotNull(await ledger.Get<LogDesk>().Newest(Ct));
    }

    [Theory]
    [InlineData("checkpoint")]
    [InlineData("checkpoints/{0}")]
    public async Task A_crash_between_the_two_files_of_a_checkpoint_leaves_neither_a_file_without_row_nor_a_row_without_file(string file)
    {
        await Restart(ledger);
        await ledger.Party("Fenn Lark");
        await ledger.Get<Leaves>().Take(Ct);
        // A folder in place of the draft: the file cannot be written, as on a disk that is full just then.
        var size = await ledger.Get<Leaves>().Size(Ct);
        var inTheWay = Durable.DraftOf(Path.Combine(ledger.Place.Folder("log"), string.Format(System.Globalization.CultureInfo.InvariantCulture, file, size.ToString("D12", System.Globalization.CultureInfo.InvariantCulture))));
        Directory.CreateDirectory(inTheWay);
        await ledger.Get<Publisher>().Start(Ct);
        await Assert.ThrowsAnyAsync<SystemException>(() => ledger.Get<Publisher>().Publish(Ct));
        Directory.Delete(inTheWay);
        // More comes in before the next start, so that the next checkpoint is of another size.
        await ledger.Party("Gus Vale");
        await using var again = await ledger.Again();
        await Restart(again);
        var files = Directory.EnumerateFiles(ledger.Place.Folder("log/checkpoints")).Select(f => long.Parse(Path.GetFileName(f), System.Globalization.CultureInfo.InvariantCulture)).Order();
        var rows = await again.Scalar($"select array_agg(size order by size) from {S}.custody_checkpoint");
        Assert.Equal((long[])rows!, files);
    }

    [Fact]
    public async Task Events_whose_pending_row_was_never_made_are_found_at_the_start()
    {
        await AsAdmin($"alter table {S}.mt_events disable trigger custody_pending_after_insert");
        await ledger.Party("Enno Pike");
        await AsAdmin($"alter table {S}.mt_events enable trigger custody_pending_after_insert");
        await RestartAndCheck();
    }

    [Fact]
    public async Task A_server_whose_trigger_is_disabled_does_not_start()
    {
        await AsAdmin($"alter table {S}.mt_events disable trigger custody_events_stay");
        // Starting makes the trigger again and enables it; one that stays disabled is refused by name.
        await AsAdmin($"alter table {S}.mt_streams disable trigger custody_streams_stay");
        await using var again = await ledger.Again();
        Assert.Equal(0L, await again.Scalar($"select count(*) from pg_trigger where tgrelid = '{S}.mt_events'::regclass and tgenabled = 'D'"));
    }

    [Fact]
    public async Task Rival_sequencers_and_writers_leave_nothing_missing_doubled_or_reordered()
    {
        await using var rival = await ledger.Again();
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(Ct);
        async Task Sequence(LedgerForTests one)
        {
            while (!stop.IsCancellationRequested) await one.Get<Leaves>().Take(Ct);
        }
        Task[] sequencers = [Sequence(ledger), Sequence(rival)];
        await Task.WhenAll(Enumerable.Range(0, 6).Select(async i =>
        {
            var owner = await ledger.Party($"Owner {i}");
            for (var bats = 0; bats < 4; bats++) await ledger.Bat(owner);
        }));
        await stop.CancelAsync();
        await Task.WhenAll(sequencers);
        await RestartAndCheck();
    }

    [Fact]
    public async Task A_node_that_another_has_overtaken_puts_no_smaller_checkpoint_in_the_place_of_a_larger()
    {
        await Restart(ledger);
        await using var rival = await ledger.Again();
        await rival.Get<Publisher>().Start(Ct);
        await ledger.Party("Ira Vane");
        await ledger.Get<Leaves>().Take(Ct);
        var outside = rival.Get<Checkpoints>();
        Assert.True(await rival.Get<Publisher>().Publish(Ct));
        var (published, rows) = (outside.NewestFile(), await Rows());
        // As a node does that was frozen in the middle of its work and goes on.
        await Assert.ThrowsAsync<OutOfTurn>(() => ledger.Get<Publisher>().Publish(Ct));
        Assert.Equal(published, outside.NewestFile());
        Assert.Equal(rows, await Rows());
        // Whoever starts again may lead again.
        await ledger.Get<Publisher>().Start(Ct);
        await RestartAndCheck();

        async Task<object?> Rows() => await ledger.Scalar($"select count(*) from {S}.custody_checkpoint");
    }

    [Fact]
    public async Task A_database_that_lost_its_tail_is_not_sequenced()
    {
        await ledger.Party("Fenn Lark");
        await Restart(ledger);
        await AsAdmin($"alter table {S}.custody_leaf disable trigger user; delete from {S}.custody_leaf where index = (select max(index) from {S}.custody_leaf); alter table {S}.custody_leaf enable trigger user");
        Assert.Equal("log-shorter", (await Assert.ThrowsAsync<LogFault>(() => ledger.Get<Publisher>().Start(Ct))).Code);
        // Nor does anything start on it that would record.
        Assert.Equal("log-shorter", (await Assert.ThrowsAsync<LogFault>(ledger.Again)).Code);
    }

    [Fact]
    public async Task A_database_with_another_leaf_below_the_signed_size_is_not_sequenced()
    {
        await ledger.Party("Gus Vale");
        await Restart(ledger);
        await AsAdmin($"alter table {S}.custody_leaf disable trigger user; update {S}.custody_leaf set hash = sha256('x') where index = 1; alter table {S}.custody_leaf enable trigger user");
        Assert.Equal("log-other", (await Assert.ThrowsAsync<LogFault>(() => ledger.Get<Publisher>().Start(Ct))).Code);
        Assert.Equal("log-other", (await Assert.ThrowsAsync<LogFault>(ledger.Again)).Code);
    }

    [Fact]
    public async Task A_number_that_does_not_follow_its_streams_last_leaf_stops_the_sequencer()
    {
        var party = await ledger.Party("Hal Wren");
        await Restart(ledger);
        await AsAdmin($"alter table {S}.custody_leaf disable trigger user; update {S}.custody_leaf set n = 7 where stream = '{party.Stream}'; alter table {S}.custody_leaf enable trigger user");
        await AsAdmin($"insert into {S}.custody_pending select seq_id from {S}.mt_events where stream_id = '{party.Stream}'");
        Assert.Equal("stream-number", (await Assert.ThrowsAsync<LogFault>(() => ledger.Get<Leaves>().Take(Ct))).Code);
    }

    [Fact]
    public async Task Every_entry_is_proved_under_the_newest_checkpoint_and_its_head_is_the_streams_last()
    {
        var owner = await ledger.Party("Ida Fell");
        var bat = await ledger.Bat(owner);
        await Restart(ledger);
        var log = ledger.Get<LogDesk>();
        var at = (await log.Newest(Ct))!;
        var entry = (await ledger.Get<Histories>().Open(bat, Ct))[0];
        var record = new LogRecord(Hash.Parse(entry.Hash), SlotTag.Compute(ledger.Place.Origin, bat.ToString(), 1));
        Assert.True((await log.ProofOf(entry.Reference, at, Ct)).Includes(record.Leaf()));
        var head = SignedNote.Parse(Encoding.UTF8.GetBytes(await log.HeadOf(bat.ToString(), at, Ct)));
        Assert.True(head.Verify(log.Key).Holds);
        Assert.Equal((1L, Hash.Parse(entry.Hash), at.Checkpoint.Root), (Head.Read(head).N, Head.Read(head).Entry, Head.Read(head).Root));
    }

    [Fact]
    public async Task No_checkpoint_is_dated_before_an_entry_under_it_when_the_clock_is_set_back()
    {
        var owner = await ledger.Party("Jory Nash");
        ledger.Clock.Now += TimeSpan.FromHours(2);
        await ledger.Bat(owner);
        var recorded = ledger.Clock.Now;
        ledger.Clock.Now -= TimeSpan.FromHours(2);
        await Restart(ledger);
        Assert.Equal(recorded, (await ledger.Get<LogDesk>().Newest(Ct))!.Signed);
        // Nor before an earlier checkpoint.
        await ledger.Party("Kit Dale");
        await Restart(ledger);
        Assert.Equal(recorded, (await ledger.Get<LogDesk>().Newest(Ct))!.Signed);
    }

    string S => ledger.Place.Schema;

    static async Task Restart(LedgerForTests one)
    {
        await one.Get<Leaves>().Rescan(Ct);
        await one.Get<Publisher>().Start(Ct);
        while (await one.Get<Sequencer>().Turn(Ct))
        {
        }
    }

    async Task RestartAndCheck()
    {
        await using var again = await ledger.Again();
        await Restart(again);
        Assert.Equal(0L, await ledger.Scalar($"select count(*) from {S}.custody_pending"));
        await using var command = ledger.Get<NpgsqlDataSource>().CreateCommand(
            $"select l.index, l.stream, l.n, l.hash, l.tag, e.stream_id, e.version, e.bdata from {S}.custody_leaf l full join {S}.mt_events e using (seq_id) order by l.index");
        Dictionary<string, long> last = new(StringComparer.Ordinal);
        List<Hash> roots = [];
        await using var reader = await command.ExecuteReaderAsync(Ct);
        while (await reader.ReadAsync(Ct))
        {
            var (stream, n) = (reader.GetString(5), reader.GetInt64(6));
            Assert.Equal((roots.Count, stream, n), (reader.GetInt64(0), reader.GetString(1), reader.GetInt64(2)));
            Assert.Equal(last.GetValueOrDefault(stream) + 1, n);
            last[stream] = n;
            var record = new LogRecord(Hash.FromBytes(SHA256.HashData(reader.GetFieldValue<byte[]>(7))), SlotTag.Compute(ledger.Place.Origin, stream, n));
            Assert.Equal(record, new LogRecord(Hash.FromBytes(reader.GetFieldValue<byte[]>(3)), Hash.FromBytes(reader.GetFieldValue<byte[]>(4))));
            roots.Add(record.Leaf());
        }
        var newest = (await ledger.Get<LogDesk>().Newest(Ct))!.Checkpoint;
        Assert.Equal((roots.Count, Root(roots, 0, roots.Count)), (newest.Size, newest.Root));
        Assert.Equal(newest, ledger.Get<Checkpoints>().LastOutside());
        Assert.Equal(newest.Root, Merkle.Root(newest.Size, ledger.Get<TileFolder>().Hashes(newest.Size)));
    }

    /// <summary>The tree's definition, RFC 9162 section 2.1.1, word for word.</summary>
    static Hash Root(List<Hash> leaves, int from, int to)
    {
        if (to - from == 1) return leaves[from];
        var k = 1;
        while (k * 2 < to - from) k *= 2;
        return Hash.Of([1, .. Root(leaves, from, from + k).ToArray(), .. Root(leaves, from + k, to).ToArray()]);
    }

    async Task<byte[]> Bytes(string sql) => (byte[])(await ledger.Scalar(sql))!;

    async Task AsAdmin(string sql)
    {
        await using var connection = new NpgsqlConnection(postgres.AdminConnectionString);
        await connection.OpenAsync(Ct);
        await using var command = new NpgsqlCommand(sql, connection);
        await command.ExecuteNonQueryAsync(Ct);
    }
}
