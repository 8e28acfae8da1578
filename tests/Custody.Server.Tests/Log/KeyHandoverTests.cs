using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Dossiers;
using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Server.Tests.Database;
using Custody.Server.Tests.Recording;
using Custody.Transparency;

namespace Custody.Server.Tests.Log;

/// <summary>A change of key on a real ledger, and what a checker makes of it who trusts an earlier or a later key.</summary>
public sealed class KeyHandoverTests(PostgresForTests postgres) : IClassFixture<PostgresForTests>, IAsyncLifetime
{
    LedgerForTests ledger = null!;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        ledger = await LedgerForTests.Open(postgres);
        await ledger.Get<Sequencer>().StartAsync(Ct);
    }

    public async ValueTask DisposeAsync()
    {
        await ledger.Get<Sequencer>().StopAsync(Ct);
        await ledger.DisposeAsync();
    }

    [Fact]
    public async Task A_checker_follows_two_changes_from_the_first_key_the_last_and_the_one_between()
    {
        var owner = await ledger.Party("Ada Quill");
        var bat = await ledger.Bat(owner);
        var keys = new List<VerifierKey> { ledger.Get<LogDesk>().Key };
        var before = await Dossier(bat, owner);
        for (var i = 0; i < 2; i++)
        {
            Assert.IsType<Recorded>(await Change(compromised: false));
            keys.Add(ledger.Get<LogDesk>().Key);
        }
        Assert.Equal(3, keys.Distinct().Count());
        var after = await Dossier(bat, owner);
        foreach (var key in keys) Assert.Equal(CheckResult.Passed, Signed(after, key));
        // What was handed out before says nothing of the later keys: who knows only those cannot follow it back.
        Assert.Equal(CheckResult.Passed, Signed(before, keys[0]));
        Assert.Equal(CheckResult.Failed, Signed(before, keys[2]));
    }

    [Fact]
    public async Task After_a_compromise_only_the_promised_key_vouches_and_the_ledger_goes_on()
    {
        var owner = await ledger.Party("Bram Oake");
        var bat = await ledger.Bat(owner);
        var old = ledger.Get<LogDesk>().Key;
        Assert.IsType<Recorded>(await Change(compromised: true));
        var dossier = await Dossier(bat, owner);
        Assert.Equal(CheckResult.Passed, Signed(dossier, ledger.Get<LogDesk>().Key));
        Assert.Equal(CheckResult.Failed, Signed(dossier, old));
    }

    [Fact]
    public async Task A_change_is_refused_while_another_process_sequences()
    {
        await ledger.Get<KeyHandover>().Published(Ct);
        await using var rival = await ledger.Again();
        await rival.Get<Sequencer>().StartAsync(Ct);
        var fault = await Assert.ThrowsAsync<LogFault>(() => rival.Get<KeyHandover>().Change(_ => throw new InvalidOperationException("Nothing may be recorded."), false, Ct));
        Assert.Equal("sequencing-elsewhere", fault.Code);
        await rival.Get<Sequencer>().StopAsync(Ct);
    }

    [Fact]
    public async Task A_node_that_still_has_the_old_key_in_memory_signs_heads_with_the_new_one()
    {
        var owner = await ledger.Party("Cora Finch");
        var bat = await ledger.Bat(owner);
        await using var node = await ledger.Again();
        Assert.IsType<Recorded>(await Change(compromised: false));
        var at = await ledger.Get<KeyHandover>().Published(Ct);
        var head = SignedNote.Parse(System.Text.Encoding.UTF8.GetBytes(await node.Get<LogDesk>().HeadOf(bat.ToString(), at, Ct)));
        Assert.True(head.Verify(ledger.Get<LogDesk>().Key).Holds);
    }

    async Task<Outcome> Change(bool compromised)
    {
        var own = (await ledger.Get<Histories>().All("ledger", Ct))[0];
        return await ledger.Get<KeyHandover>().Change(note => ledger.Recorder.Record(
            own, compromised ? new DeclareKeyCompromised(note) { By = PartyId.Ledger } : new RotateKey(note) { By = PartyId.Ledger }, new Request(), Ct), compromised, Ct);
    }

    async Task<DossierContent> Dossier(StreamName bat, PartyId by)
    {
        await ledger.Get<KeyHandover>().Published(Ct);
        var state = (await ledger.Get<BatFinder>().Find(bat.ToString(), Ct))!;
        var (done, refused) = await ledger.Get<DossierDesk>().Write(state, Reveal.Nothing, EarlierHistories.None, Path.Combine(ledger.Place.DataFolder, "out"), null, by, Ct);
        Assert.True(done is not null, refused?.Sentence);
        await using var file = new MemoryStream(await File.ReadAllBytesAsync(done.Path, Ct));
        return DossierReader.Read(file);
    }

    static CheckResult Signed(DossierContent dossier, VerifierKey key)
    {
        var checks = Checker.Run(dossier, new Expected([key], null, new DateTimeOffset(2024, 3, 2, 0, 0, 0, TimeSpan.Zero))).Checks;
        Assert.DoesNotContain(checks, c => c.Number != 5 && c.Result == CheckResult.Failed);
        return checks[4].Result;
    }
}
