using Custody.Bats;
using Custody.Server.Finding;
using Custody.Server.Private;
using Custody.Server.Recording;
using Custody.Server.Tests.Database;
using Custody.Server.Tests.Recording;
using Npgsql;

namespace Custody.Server.Tests.Private;

public sealed class ErasureTests(PostgresForTests postgres) : IClassFixture<PostgresForTests>, IAsyncLifetime
{
    LedgerForTests ledger = null!;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync() => ledger = await LedgerForTests.Open(postgres);

    public ValueTask DisposeAsync() => ledger.DisposeAsync();

    [Fact]
    public async Task Erasing_destroys_the_key_and_leaves_every_entry_as_it_was()
    {
        var (owner, visitor) = (await ledger.Party("Una Marl"), await ledger.Party("Vic Thorn"));
        var bat = await ledger.Bat(owner);
        await Done(bat, new RaiseClaim(ClaimKind.Other, visitor, AssertionBasis.HoldersWord, "a word", null) { By = visitor });
        await Done(bat, new ResolveClaim(2, ClaimOutcome.Withdrawn, AssertionBasis.HoldersWord, null, null, null) { By = visitor });
        var before = (await ledger.Get<Histories>().Load(bat, Ct)).Bytes;
        await Erase(visitor);
        var shown = await ledger.Get<Histories>().Shown(bat, Ct);
        Assert.Null(shown.Single(e => e.Fact is ClaimRaised).Fact.Parties!["p2"].Name);
        Assert.Equal("Una Marl", shown[0].Fact.Parties!["p1"].Name!.Value);
        Assert.Equal(before, (await ledger.Get<Histories>().Load(bat, Ct)).Bytes);
        Assert.Empty(await ledger.Get<AliasBook>().StreamsOf(visitor, Ct));
    }

    [Fact]
    public async Task An_erased_party_is_unknown_from_then_on()
    {
        var (owner, visitor) = (await ledger.Party("Wil Ash"), await ledger.Party("Xen Holm"));
        var bat = await ledger.Bat(owner);
        await Erase(visitor);
        Assert.Equal("party-unknown", Assert.IsType<Refused>(await ledger.Recorder.Record(bat, LedgerForTests.Release(owner, visitor), new Request(), Ct)).Refusals[0].Code);
    }

    [Fact]
    public async Task Who_still_holds_title_or_keeps_a_bat_is_not_erased()
    {
        var owner = await ledger.Party("Yul Brand");
        await ledger.Bat(owner);
        await Done(owner.Stream, Asked(owner));
        var refused = Assert.IsType<Refused>(await ledger.Recorder.Record(owner.Stream, new EraseParty([], null) { By = owner }, new Request(), Ct));
        Assert.Equal("party-has-role", refused.Refusals[0].Code);
        Assert.NotNull(ledger.Get<KeyRing>().Find(ledger.Get<KeyRing>().IdOf(owner.ToString())));
    }

    [Fact]
    public async Task Words_that_were_being_indexed_while_their_key_was_destroyed_are_forgotten_too()
    {
        var gone = await ledger.Party("Ott Larch");
        var database = ledger.Get<NpgsqlDataSource>();
        await using var indexing = await database.OpenConnectionAsync(Ct);
        await using var transaction = await indexing.BeginTransactionAsync(Ct);
        await using (var command = new NpgsqlCommand(
            $"select pg_advisory_xact_lock({SearchIndex.Lock}); insert into {ledger.Place.Schema}.custody_search (stream, n, key_id, words) values ('{gone}', 1, '{ledger.Get<KeyRing>().IdOf(gone.ToString())}', 'klarch')", indexing))
            await command.ExecuteNonQueryAsync(Ct);
        var forgetting = ledger.Get<SearchIndex>().Forget(gone.ToString(), Ct);
        while (!forgetting.IsCompleted && !(bool)(await ledger.Scalar("select exists (select from pg_locks where locktype = 'advisory' and not granted)"))!) await Task.Yield();
        await transaction.CommitAsync(Ct);
        await forgetting;
        Assert.Equal(0L, await ledger.Scalar($"select count(*) from {ledger.Place.Schema}.custody_search where stream = '{gone}'"));
    }

    [Fact]
    public async Task What_a_crash_left_due_is_carried_out_at_the_next_start()
    {
        var gone = await ledger.Party("Zed Moss");
        var keys = ledger.Get<KeyRing>();
        var file = Path.Combine(ledger.Place.Folder("keys/values"), keys.IdOf(gone.ToString()));
        var key = await File.ReadAllBytesAsync(file, Ct);
        await Erase(gone);
        // As if the process had died between the entry and the key.
        File.Delete(file + ".destroyed");
        await File.WriteAllBytesAsync(file, key, Ct);
        await using var again = await ledger.Again();
        Assert.Null(again.Get<KeyRing>().KeyOf(gone.ToString()));
        Assert.False(File.Exists(file));
    }

    static RequestErasure Asked(PartyId party) => new(ErasureGround.AskedByTheParty, null, null) { By = party };

    async Task Erase(PartyId party)
    {
        await Done(party.Stream, Asked(party));
        await Done(party.Stream, new EraseParty([], null) { By = party });
    }

    async Task Done(StreamName stream, Command command)
    {
        var outcome = await ledger.Recorder.Record(stream, command, new Request(), Ct);
        Assert.True(outcome is Recorded, outcome is Refused refused ? refused.Refusals[0].ToString() : outcome.ToString());
    }
}
