using System.Globalization;
using System.Text;
using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger.Tests;

/// <summary>Checks 5 and 14 where others have timed checkpoints: what the reader's policy makes of their word.</summary>
public sealed class TimelineTests : IDisposable
{
    readonly TestLedger ledger = new();
    readonly SignerKey first = Cosigner(71), second = Cosigner(72);
    readonly Dictionary<string, ReadOnlyMemory<byte>> timeline = [];
    readonly List<long> sizes = [];

    static SignerKey Cosigner(byte seed) => SignerKey.FromSeed($"cosigner-{seed}.example", [.. Enumerable.Repeat(seed, 32)], VerifierKey.Cosignature);

    public void Dispose()
    {
        first.Dispose();
        second.Dispose();
        ledger.Dispose();
    }

    CosignPolicy Policy(string quorum = "both") => CosignPolicy.Parse(Encoding.UTF8.GetBytes(
        $"log {ledger.Key.Verifier}\nwitness one {first.Verifier}\nwitness two {second.Verifier}\ngroup both all one two\nquorum {quorum}\n"));

    static SignedNote Cosigned(SignedNote note, DateTimeOffset at, params SignerKey[] by) =>
        by.Aggregate(note, (n, key) => n.With(key.Cosign(n.TextBytes, at.ToUnixTimeSeconds())));

    /// <summary>The log as it stands, seen by cosigners at a time.</summary>
    void Seen(DateTimeOffset at, params SignerKey[] by)
    {
        timeline[Name(ledger.Size, "checkpoint")] = Cosigned(ledger.Signed(), at, by).ToArray();
        sizes.Add(ledger.Size);
    }

    static string Name(long size, string kind) => string.Create(CultureInfo.InvariantCulture, $"{size}.{kind}");

    Report Check(TestStream<Bat> bat, CosignPolicy? policy, Action<Dictionary<string, ReadOnlyMemory<byte>>>? change = null)
    {
        foreach (var size in sizes) timeline[Name(size, "consistency")] = ledger.Consistency(size);
        // The change is made after the writer has looked: it hands out no dossier with a broken timeline.
        var good = TestDossier.Files(TestDossier.Packed(TestDossier.Request(ledger.Contents(bat) with { Timeline = timeline })));
        change?.Invoke(timeline);
        foreach (var path in good.Keys.Where(p => p.StartsWith("data/timeline/", StringComparison.Ordinal)).ToList()) good.Remove(path);
        foreach (var (name, file) in timeline) good["data/timeline/" + name] = file.ToArray();
        return Checker.Run(DossierReader.Read(new MemoryStream(TestDossier.Packed(good))), new Expected([], null, TestDossier.Now) { Policy = policy });
    }

    static Check Of(Report report, int number) => report.Checks[number - 1];

    TestStream<Bat> Timed(TimeSpan? shift = null)
    {
        Seen(ledger.Clock + (shift ?? default), first, second);
        var bat = TestDossier.Life(ledger);
        Seen(ledger.Clock + (shift ?? default), first, second);
        return bat;
    }

    [Fact]
    public void Entries_between_two_checkpoints_that_the_readers_cosigners_saw_pass()
    {
        var check = Of(Check(Timed(), Policy()), 14);
        Assert.Equal((CheckResult.Passed, "All 4 entries were recorded between two independently timed checkpoints, at most 1 hour apart."), (check.Result, check.Reason));
    }

    [Fact]
    public void Without_a_policy_time_is_the_houses_word()
    {
        Assert.Equal(CheckResult.OnHousesWord, Of(Check(Timed(), null), 14).Result);
        Assert.Equal(CheckResult.OnHousesWord, Of(Check(TestDossier.Life(ledger), Policy("none")), 14).Result);
    }

    [Fact]
    public void One_cosigner_where_the_policy_asks_for_two_bounds_nothing()
    {
        Seen(ledger.Clock, first);
        var bat = TestDossier.Life(ledger);
        Seen(ledger.Clock, first);
        Assert.Equal(CheckResult.OnHousesWord, Of(Check(bat, Policy()), 14).Result);
        Assert.Equal(CheckResult.Passed, Of(Check(bat, Policy("one")), 14).Result);
    }

    [Fact]
    public void An_entry_bounded_on_one_side_only_is_told_apart()
    {
        var bat = TestDossier.Life(ledger);
        Seen(ledger.Clock, first, second);
        bat.Do(new IssueLabel(LabelForm.Card, LabelPlace.Box, "LABELS.EXAMPLE", []) { By = TestDossier.House });
        var check = Of(Check(bat, Policy()), 14);
        Assert.Equal(CheckResult.OnHousesWord, check.Result);
        Assert.Contains("5 are bounded on one side", check.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void An_entry_dated_back_before_a_tree_that_lacks_it_fails()
    {
        // The ledger promises checkpoints every 600 seconds: a day is no delay.
        var check = Of(Check(Timed(TimeSpan.FromDays(1)), Policy()), 14);
        Assert.Equal(CheckResult.Failed, check.Result);
        Assert.Contains("does not hold it yet", check.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void An_entry_dated_after_a_tree_that_holds_it_fails()
    {
        var check = Of(Check(Timed(TimeSpan.FromDays(-1)), Policy()), 14);
        Assert.Equal(CheckResult.Failed, check.Result);
        Assert.Contains("in the tree at", check.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void The_span_told_is_the_widest_of_any_entry()
    {
        Seen(ledger.Clock, first, second);
        var bat = TestDossier.Life(ledger);
        ledger.Clock = ledger.Clock.AddDays(5);
        Seen(ledger.Clock, first, second);
        bat.Do(new IssueLabel(LabelForm.Card, LabelPlace.Box, "LABELS.EXAMPLE", []) { By = TestDossier.House });
        Seen(ledger.Clock.AddMinutes(20), first, second);
        Assert.Equal("All 5 entries were recorded between two independently timed checkpoints, at most 6 days apart.", Of(Check(bat, Policy()), 14).Reason);
    }

    [Fact]
    public void Delay_within_what_the_ledger_promised_is_none() => Assert.Equal(CheckResult.Passed, Of(Check(Timed(TimeSpan.FromSeconds(300)), Policy()), 14).Result);

    [Fact]
    public void A_timed_checkpoint_that_is_not_the_ledgers_or_not_of_this_tree_fails()
    {
        var bat = Timed();
        var size = Name(sizes[0], "checkpoint");
        using var forger = SignerKey.FromSeed("ledger.example", [.. Enumerable.Repeat((byte)99, 32)]);
        var honest = Checkpoint.Read(SignedNote.Parse(timeline[size].Span));
        string Why(Action<Dictionary<string, ReadOnlyMemory<byte>>> change)
        {
            var kept = timeline.ToDictionary();
            var check = Of(Check(bat, Policy(), change), 14);
            timeline.Clear();
            foreach (var (name, file) in kept) timeline[name] = file;
            Assert.Equal(CheckResult.Failed, check.Result);
            return check.Reason;
        }
        Assert.Contains("not signed", Why(t => t[size] = Cosigned(honest.Sign(forger), ledger.Clock, first, second).ToArray()), StringComparison.Ordinal);
        Assert.Contains("go on from it", Why(t => t[size] = Cosigned((honest with { Root = Hash.Of("x"u8) }).Sign(ledger.Key), ledger.Clock, first, second).ToArray()), StringComparison.Ordinal);
        Assert.Contains("another ledger or size", Why(t => t[size] = t[Name(sizes[1], "checkpoint")]), StringComparison.Ordinal);
        Assert.Contains("go on from it", Why(t => t.Remove(Name(sizes[0], "consistency"))), StringComparison.Ordinal);
        Assert.Contains("missing", Why(t => t.Remove(size)), StringComparison.Ordinal);
        Why(t => t[Name(sizes[0], "consistency")] = "hello\n"u8.ToArray());
        Why(t => t[size] = "hello"u8.ToArray());
    }

    [Fact]
    public void What_a_compromised_key_signed_counts_if_it_was_seen_before_the_compromise_was_told()
    {
        var bat = Timed();
        ledger.Clock = ledger.Clock.AddHours(1);
        ledger.Rotate(compromised: true);
        var report = Check(bat, Policy());
        Assert.Equal(CheckResult.Passed, Of(report, 14).Result);
        // Without a policy nobody says when it was seen: left aside, and no fault of the dossier's.
        Assert.Equal(CheckResult.OnHousesWord, Of(Check(bat, null), 14).Result);
    }

    [Fact]
    public void What_a_compromised_key_signed_and_others_saw_only_afterwards_is_left_aside()
    {
        Seen(ledger.Clock, first, second);
        var bat = TestDossier.Life(ledger);
        Seen(ledger.Clock.AddDays(3), first, second);
        ledger.Rotate(compromised: true);
        var check = Of(Check(bat, Policy()), 14);
        Assert.Equal(CheckResult.OnHousesWord, check.Result);
        Assert.Contains("4 are bounded on one side", check.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void A_cosignature_of_a_time_beyond_any_calendar_counts_for_nothing()
    {
        timeline[Name(ledger.Size, "checkpoint")] = ledger.Signed().With(first.Cosign(ledger.Signed().TextBytes, long.MaxValue)).With(second.Cosign(ledger.Signed().TextBytes, ledger.Clock.ToUnixTimeSeconds())).ToArray();
        sizes.Add(ledger.Size);
        var bat = TestDossier.Life(ledger);
        Assert.Contains("house's word only", Of(Check(bat, Policy()), 14).Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void A_cosignature_that_does_not_fit_counts_for_nothing_and_harms_nobody_elses()
    {
        var bat = Timed();
        var size = Name(sizes[0], "checkpoint");
        var report = Check(bat, Policy(), t =>
        {
            var note = SignedNote.Parse(t[size].Span);
            t[size] = note.With(new NoteSignature(first.Verifier.Name, first.Verifier.KeyId, new byte[72])).ToArray();
        });
        Assert.Equal(CheckResult.OnHousesWord, Of(report, 14).Result);
    }

    [Fact]
    public void The_dossiers_own_checkpoint_must_be_cosigned_as_the_policy_asks()
    {
        var bat = TestDossier.Life(ledger);
        var own = ledger.Contents(bat);
        Report With(params SignerKey[] by)
        {
            var signed = Workshop.Signed(own, Cosigned(SignedNote.Parse(own.Checkpoint.Span), ledger.Clock, by).ToArray());
            return Checker.Run(DossierReader.Read(new MemoryStream(TestDossier.Packed(TestDossier.Request(signed)))), new Expected([], null, TestDossier.Now) { Policy = Policy() });
        }
        Assert.Equal(CheckResult.Failed, Of(With(first), 5).Result);
        Assert.Equal((CheckResult.Passed, "Signed by the key you gave. Cosigned as your policy asks."), (Of(With(first, second), 5).Result, Of(With(first, second), 5).Reason));
        // One's own checkpoint bounds from above: no entry of it came later.
        Assert.Contains("4 are bounded on one side", Of(With(first, second), 14).Reason, StringComparison.Ordinal);
    }
}
