using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger.Tests;

/// <summary>Check 13 over the public log: what it finds, and that nothing but the ledger's own signature can fail a dossier.</summary>
public sealed class CompletenessTests : IDisposable
{
    readonly TestLedger ledger = new();

    public void Dispose() => ledger.Dispose();

    static Check Of(Report report, int number) => report.Checks[number - 1];

    Report Ask(byte[] dossier, IPublicLog log, bool laterOnly = false, params VerifierKey[] keys) => Checker.Run(
        DossierReader.Read(new MemoryStream(dossier)),
        new Expected(keys.Length > 0 ? keys : [ledger.Key.Verifier], null, TestDossier.Now) { Online = new(log, laterOnly) });

    byte[] Dossier(TestStream<Bat> bat) => TestDossier.Packed(TestDossier.Request(ledger.Contents(bat)));

    // Entries of streams that the dossier knows nothing of.
    void Others(int count)
    {
        for (var i = 0; i < count; i++) ledger.Log(TestLedger.Name("bat", 'Z'), i + 1, Hash.Of([(byte)i, (byte)(i >> 8)]).Text);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_dossier_that_is_complete_now_passes_and_its_head_no_longer_rests_on_the_houses_word(bool laterOnly)
    {
        var dossier = Dossier(TestDossier.Life(ledger));
        Others(600);
        var report = Ask(dossier, ledger.Public(), laterOnly);
        Assert.False(report.HasFailed);
        Assert.Equal(CheckResult.Passed, Of(report, 13).Result);
        Assert.Equal(laterOnly ? CheckResult.OnHousesWord : CheckResult.Passed, Of(report, 6).Result);
        Assert.Equal(new LogFinding(true, ledger.Size, 0, null), report.Online);
    }

    [Theory]
    [InlineData(1, false)]
    [InlineData(3, true)]
    [InlineData(40, false)]
    [InlineData(40, true)]
    public void Entries_later_than_the_dossier_are_counted(int later, bool laterOnly)
    {
        var bat = TestDossier.Life(ledger);
        var dossier = Dossier(bat);
        Others(300);
        for (var i = 0; i < later; i++) bat.Record(Workshop.Reported);
        Others(300);
        var report = Ask(dossier, ledger.Public(), laterOnly);
        Assert.Equal([13], report.Checks.Where(c => c.Result == CheckResult.Failed).Select(c => c.Number));
        Assert.StartsWith(later == 1 ? "1 entry later than this dossier" : $"{later} entries later than this dossier", Of(report, 13).Reason, StringComparison.Ordinal);
        Assert.Equal(new LogFinding(true, ledger.Size, later, null), report.Online);
    }

    [Fact]
    public void Looking_for_later_entries_only_fetches_no_bundle_from_before()
    {
        Others(600);
        var dossier = Dossier(TestDossier.Life(ledger));
        Others(600);
        var log = ledger.Public();
        Assert.Equal(CheckResult.Passed, Of(Ask(dossier, log, laterOnly: true), 13).Result);
        Assert.Equal([2L, 3, 4], log.Asked.Where(t => t.IsEntries).Select(t => t.Index));
    }

    [Theory]
    [InlineData(false, 2)]
    [InlineData(true, 2)]
    [InlineData(false, 4)]
    public void A_place_of_this_history_that_stands_in_the_log_twice_is_found_and_convicts(bool before, int n)
    {
        var bat = TestDossier.Life(ledger);
        if (before) Fork();
        var dossier = Dossier(bat);
        if (!before) Fork();
        Others(10);
        var report = Ask(dossier, ledger.Public());
        Assert.Equal(CheckResult.Failed, Of(report, 13).Result);
        Assert.Equal(MisconductKind.SecondEntry, report.Online!.Proof!.Kind);
        Assert.True(MisconductJudge.Judge(report.Online.Proof).Convicts);

        void Fork() => ledger.Log(bat.Name, n, Hash.Of("another entry in this place"u8).Text);
    }

    [Fact]
    public void A_head_that_denies_a_logged_entry_fails_and_convicts()
    {
        var bat = TestDossier.Life(ledger);
        ledger.Log(bat.Name, bat.Lines.Count + 1, Hash.Of("a claim nobody should see"u8).Text);
        var report = Ask(Dossier(bat), ledger.Public());
        Assert.Equal([6], report.Checks.Where(c => c.Result == CheckResult.Failed).Select(c => c.Number));
        Assert.Equal(CheckResult.NotChecked, Of(report, 13).Result);
        Assert.Equal(MisconductKind.DeniedEntry, report.Online!.Proof!.Kind);
        Assert.True(MisconductJudge.Judge(report.Online.Proof).Convicts);
    }

    [Theory]
    [InlineData(0, false)]
    [InlineData(50, false)]
    [InlineData(50, true)]
    public void A_log_that_does_not_go_on_from_the_dossier_fails_it_and_convicts(int more, bool laterOnly)
    {
        var dossier = Dossier(TestDossier.Life(ledger));
        using TestLedger other = new(); // the same key tells another history
        while (other.Size < ledger.Size + more) other.Log(TestLedger.Name("bat", 'Y'), other.Size, Hash.Of("y"u8).Text);
        var report = Ask(dossier, other.Public(), laterOnly);
        Assert.Equal([13], report.Checks.Where(c => c.Result == CheckResult.Failed).Select(c => c.Number));
        Assert.Equal(MisconductKind.TwoTrees, report.Online!.Proof!.Kind);
        Assert.True(MisconductJudge.Judge(report.Online.Proof).Convicts);
    }

    public static TheoryData<string> Unread =>
    [
        "a bundle withheld", "a bundle cut short", "a bundle too wide", "a bundle of another width", "a record changed", "a page instead of a bundle", "an older checkpoint", "another ledger's checkpoint",
        "a checkpoint signed by a stranger", "a checkpoint with a changed size", "a page instead of the checkpoint", "nothing as the checkpoint", "a log without end", "a head as the checkpoint",
    ];

    /// <summary>None of these is signed by the ledger: whoever stands between could do it, so no dossier may fail for it, and none may pass.</summary>
    [Theory]
    [MemberData(nameof(Unread))]
    public void What_is_not_the_ledgers_own_word_is_not_checked(string what)
    {
        var bat = TestDossier.Life(ledger);
        Others(300);
        var older = ledger.Public().Checkpoint().ToArray();
        Others(300);
        var dossier = Dossier(bat);
        Others(300);
        using TestLedger stranger = new("other.example", 9);
        using var thief = SignerKey.FromSeed(ledger.Origin, [.. Enumerable.Repeat((byte)77, 32)]);
        var newest = Checkpoint.Read(SignedNote.Parse(ledger.Public().Checkpoint().Span));
        var page = "<!doctype html><title>502</title>"u8.ToArray();
        var log = ledger.Public().With((path, bytes) => (what, path) switch
        {
            ("a bundle withheld", "tile/entries/001") => null,
            ("a bundle cut short", "tile/entries/001") => bytes[..^1],
            ("a bundle too wide", "tile/entries/001") => [.. bytes, .. bytes],
            ("a bundle of another width", "tile/entries/001") => bytes[..66],
            ("a record changed", "tile/entries/001") => Changed(bytes),
            ("a page instead of a bundle", "tile/entries/001") => page,
            ("an older checkpoint", "checkpoint") => older,
            ("another ledger's checkpoint", "checkpoint") => stranger.Public().Checkpoint().ToArray(),
            ("a checkpoint signed by a stranger", "checkpoint") => newest.Sign(thief).ToArray(),
            ("a checkpoint with a changed size", "checkpoint") => bytes.Text().Replace($"\n{newest.Size}\n", $"\n{newest.Size + 1}\n", StringComparison.Ordinal).Bytes(),
            ("a page instead of the checkpoint", "checkpoint") => page,
            ("nothing as the checkpoint", "checkpoint") => [],
            ("a log without end", "checkpoint") => new Checkpoint(ledger.Origin, long.MaxValue, newest.Root).Sign(ledger.Key).ToArray(),
            ("a head as the checkpoint", "checkpoint") => ledger.Contents(bat).Head.ToArray(),
            _ => bytes,
        });
        var report = Ask(dossier, log);
        Assert.False(report.HasFailed);
        Assert.Equal(CheckResult.NotChecked, Of(report, 13).Result);
        Assert.Equal(CheckResult.OnHousesWord, Of(report, 6).Result);
        Assert.Equal(new LogFinding(false, null, null, null), report.Online);
        Assert.StartsWith("The public log could not be read. ", Of(report, 13).Reason, StringComparison.Ordinal);
    }

    static byte[] Changed(byte[] bytes)
    {
        var copy = (byte[])bytes.Clone();
        copy[^1] ^= 1;
        return copy;
    }

    [Fact]
    public void A_key_that_came_after_the_dossier_counts_only_if_the_reader_gives_it()
    {
        var dossier = Dossier(TestDossier.Life(ledger));
        var old = ledger.Key.Verifier;
        ledger.Rotate();
        Assert.Equal(CheckResult.NotChecked, Of(Ask(dossier, ledger.Public(), false, old), 13).Result);
        Assert.Equal(CheckResult.Passed, Of(Ask(dossier, ledger.Public(), false, old, ledger.Key.Verifier), 13).Result);
    }

    [Fact]
    public void A_key_that_was_followed_by_another_signs_for_no_later_log()
    {
        var bat = TestDossier.Life(ledger);
        ledger.Rotate();
        var dossier = Dossier(bat);
        var now = ledger.Public();
        var byOld = Checkpoint.Read(SignedNote.Parse(now.Checkpoint().Span)).Sign(ledger.Earlier[0]).ToArray();
        Assert.Equal(CheckResult.NotChecked, Of(Ask(dossier, now.With((path, bytes) => path == "checkpoint" ? byOld : bytes), false, ledger.Earlier[0].Verifier), 13).Result);
        Assert.Equal(CheckResult.Passed, Of(Ask(dossier, now, false, ledger.Earlier[0].Verifier), 13).Result);
    }

    [Theory]
    [InlineData(true, CheckResult.Passed)]
    [InlineData(false, CheckResult.OnHousesWord)]
    public void With_a_policy_the_newest_checkpoint_must_be_cosigned_to_pass(bool cosigned, CheckResult expected)
    {
        using var cosigner = SignerKey.FromSeed("cosigner.example", [.. Enumerable.Repeat((byte)71, 32)], VerifierKey.Cosignature);
        byte[] Cosigned(ReadOnlyMemory<byte> note) => SignedNote.Parse(note.Span) is var n ? n.With(cosigner.Cosign(n.TextBytes, 2_000_000_000)).ToArray() : [];
        var contents = ledger.Contents(TestDossier.Life(ledger));
        var dossier = TestDossier.Packed(TestDossier.Request(Workshop.Signed(contents, Cosigned(contents.Checkpoint))));
        Others(10);
        var policy = CosignPolicy.Parse($"log {ledger.Key.Verifier}\nwitness w {cosigner.Verifier}\nquorum w\n".Bytes());
        var log = ledger.Public().With((path, bytes) => path == "checkpoint" && cosigned ? Cosigned(bytes) : bytes);
        var report = Checker.Run(DossierReader.Read(new MemoryStream(dossier)), new Expected([], null, TestDossier.Now) { Policy = policy, Online = new(log) });
        Assert.False(report.HasFailed, string.Join('\n', report.Checks.Select(c => c.Reason)));
        Assert.Equal(expected, Of(report, 13).Result);
        Assert.Contains("cosigned as your policy asks", Of(report, 13).Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void A_dossier_that_does_not_hold_itself_is_not_looked_for_in_the_log()
    {
        var files = TestDossier.Files(Dossier(TestDossier.Life(ledger)));
        files["data/head"] = Workshop.Flip(files["data/head"], 5);
        var log = ledger.Public();
        var report = Ask(TestDossier.Packed(files), log);
        Assert.Equal(CheckResult.NotChecked, Of(report, 13).Result);
        Assert.Empty(log.Asked);
    }

    [Fact]
    public void Tiles_that_prove_nothing_leave_the_finding_and_hand_out_no_evidence()
    {
        var bat = TestDossier.Life(ledger);
        var dossier = Dossier(bat);
        ledger.Log(bat.Name, 2, Hash.Of("another"u8).Text);
        var report = Ask(dossier, ledger.Public().With((path, bytes) => path.StartsWith("tile/0/", StringComparison.Ordinal) ? Changed(bytes) : bytes));
        Assert.Equal(CheckResult.Failed, Of(report, 13).Result);
        Assert.Null(report.Online!.Proof);
    }

    [Theory]
    [InlineData(7, true, 7, 0, true, "No entry is later")]
    [InlineData(7, true, 10, 3, true, "3 entries later than this dossier")]
    [InlineData(7, true, 8, 1, true, "1 entry later than this dossier")]
    [InlineData(7, false, 10, 0, false, "another entry 7")]
    [InlineData(7, null, 5, 0, false, "holds no entry 7")]
    public void How_far_a_ledger_has_gone_on_is_said_in_words(long given, bool? same, long now, long later, bool fits, string words)
    {
        var entry = Hash.Of("e"u8);
        var said = LaterThan.Compare("bat/x", given, entry, same is null ? null : same.Value ? entry : Hash.Of("f"u8), now, 100, TestDossier.Now);
        Assert.Equal((later, fits), (said.Later, said.Fits));
        Assert.Contains(words, said.Sentence, StringComparison.Ordinal);
    }
}
