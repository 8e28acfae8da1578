using System.Buffers.Binary;
using System.Security.Cryptography;
using System.Text;

namespace Custody.Bats.Tests;

public class LedgerStreamTests
{
    const string Origin = "ledger.example";
    static readonly string Root = Convert.ToBase64String(SHA256.HashData("root"u8));

    /// <summary>Verifier key text written out by hand from C2SP signed-note; no key of ours signs anything here.</summary>
    static string Key(string name, byte seed)
    {
        byte[] key = [0x01, .. Enumerable.Repeat(seed, 32)];
        var id = SHA256.HashData([.. Encoding.UTF8.GetBytes(name), 0x0A, .. key])[..4];
        return $"{name}+{Convert.ToHexStringLower(id)}+{Convert.ToBase64String(key)}";
    }

    static string Standard(string text) => Convert.ToBase64String(SHA256.HashData(Encoding.UTF8.GetBytes(text)));

    static string Url(string text) => Standard(text).TrimEnd('=').Replace('+', '-').Replace('/', '_');

    static readonly string First = Key(Origin, 1), Second = Key(Origin, 2), Third = Key(Origin, 3);

    static readonly OpenLedger Opening = new(Origin, First, Url(Second), [Key("cosigner.example", 9)], 1, 60) { By = Story<LedgerState>.Party('k') };

    static Story<LedgerState> Open(OpenLedger? with = null) => new Story<LedgerState>("ledger").Given(with ?? Opening);

    static string Refused(OpenLedger opening) => new Story<LedgerState>("ledger").Refused(opening);

    static string Line(string key)
    {
        var parts = key.Split('+', 3);
        return $"\u2014 {parts[0]} {Convert.ToBase64String([.. Convert.FromHexString(parts[1]), .. new byte[64]])}\n";
    }

    static string Note(string old, string fresh, string next, string[] signers, long size = 40, bool compromised = false, string origin = Origin) =>
        $"{origin}/key\n{old}\n{fresh}\n{Standard(next)}\n{size}\n{Root}\n{(compromised ? "compromised\n" : "")}\n{string.Concat(signers.Select(Line))}";

    static RotateKey Rotated(string note) => new(note) { By = Opening.By };

    static DeclareKeyCompromised Lost(string note) => new(note) { By = Opening.By };

    [Fact]
    public void Leaf_0_names_origin_keys_cosigners_and_promises_all_open_and_nobody_else()
    {
        var entry = Open().Entries[0];
        Assert.Null(entry.Envelope.By);
        Assert.Null(entry.Fact.Parties);
        Assert.Equal(["Origin", "Key", "NextKey", "Cosigners", "Quorum", "CheckpointSeconds"], Shapes.Of(typeof(LedgerOpened)).Select(m => m.Name));
        Assert.DoesNotContain(Shapes.Of(typeof(LedgerOpened)), m => m.PropertyType.IsAssignableTo(typeof(IWithheld)));
    }

    [Theory]
    [InlineData("other.example")]
    [InlineData("ledger.example/head")]
    public void The_origin_is_this_ledgers_name_and_never_a_head_or_key(string origin) =>
        Assert.Contains("origin", new Story<LedgerState>("ledger").When(Opening with { Origin = origin }).Select(r => r.Code));

    [Fact]
    public void Leaf_0_is_refused_when_its_keys_or_promises_do_not_hold()
    {
        Assert.Equal("key-text", Refused(Opening with { Key = Key("other.example", 1) }));
        Assert.Equal("key-text", Refused(Opening with { Key = First.Replace(First.Split('+')[1], "00000000", StringComparison.Ordinal) }));
        Assert.Equal("next-key", Refused(Opening with { NextKey = Url(First) }));
        Assert.Equal("next-key", Refused(Opening with { NextKey = Standard(Second) }));
        Assert.Equal("cosigners", Refused(Opening with { Cosigners = [First] }));
        Assert.Equal("cosigners", Refused(Opening with { Cosigners = ["nobody"] }));
        Assert.Equal("quorum", Refused(Opening with { Quorum = 2 }));
        Assert.Equal("checkpoint-seconds", Refused(Opening with { CheckpointSeconds = 0 }));
        Assert.Equal("ledger-opened", Open().Refused(Opening));
    }

    [Fact]
    public void Nothing_comes_before_leaf_0() =>
        Assert.Equal("ledger-not-opened", new Story<LedgerState>("ledger").Refused(new AdoptRules(1, Url("rules")) { By = Opening.By }));

    [Fact]
    public void Entries_about_the_ledger_are_by_the_ledger()
    {
        var entry = Open().Entries[0];
        var signed = entry with { Envelope = entry.Envelope with { By = new Alias(1) }, Fact = entry.Fact with { Parties = new() { ["p1"] = new(Role.House, null, null) } } };
        Assert.Equal("ledger-speaks-itself", Assert.Single(Decisions.Permit(new LedgerState(), signed, NothingCited.Instance)).Code);
    }

    [Fact]
    public void Rule_sets_are_adopted_one_by_one()
    {
        AdoptRules Rules(int number) => new(number, Url("rules")) { By = Opening.By };
        var story = Open().Given(Rules(1), Rules(2));
        Assert.Equal("rules-number", story.Refused(Rules(2)));
        Assert.Equal("rules-number", story.Refused(Rules(4)));
        Assert.Equal("hash-form", story.Refused(new AdoptRules(3, "no hash") { By = Opening.By }));
    }

    [Fact]
    public void The_promised_key_follows_and_the_old_one_counts_up_to_the_rotation()
    {
        var story = Open().Given(Rotated(Note(First, Second, Third, [First, Second])));
        Assert.Equal((Second, Url(Third)), (story.State.Key, story.State.NextKey));
        Assert.Equal([new EarlierKey(First, 40, false)], story.State.EarlierKeys);
        Assert.Empty(story.When(Rotated(Note(Second, Third, "key 4", [Second, Third], 41))));
    }

    [Fact]
    public void A_rotation_that_does_not_fit_is_refused()
    {
        Assert.Equal("key-note", Open().Refused(Rotated("no note")));
        Assert.Equal("key-note-other", Open().Refused(Rotated(Note(Third, Second, Third, [Third, Second]))));
        Assert.Equal("key-note-other", Open().Refused(Rotated(Note(First, Second, Third, [First, Second], origin: "other.example"))));
        Assert.Equal("key-not-promised", Open().Refused(Rotated(Note(First, Third, Second, [First, Third]))));
        Assert.Equal("key-again", Open().Refused(Rotated(Note(First, Second, Second, [First, Second]))));
        Assert.Equal("key-note-signers", Open().Refused(Rotated(Note(First, Second, Third, [Second]))));
        Assert.Equal("key-note-signers", Open().Refused(Rotated(Note(First, Second, Third, [First, Second], compromised: true))));
    }

    [Fact]
    public void A_rotation_never_goes_back_in_size()
    {
        var story = Open().Given(Rotated(Note(First, Second, Third, [First, Second])));
        Assert.Equal("key-again", story.Refused(Rotated(Note(Second, Third, "key 4", [Second, Third], 39))));
    }

    [Fact]
    public void A_compromise_is_declared_by_the_promised_key_alone()
    {
        var story = Open();
        Assert.Equal("key-note-signers", story.Refused(Lost(Note(First, Second, Third, [First, Second], compromised: true))));
        Assert.Equal("key-note-signers", story.Refused(Lost(Note(First, Second, Third, [Second]))));
        story.Given(Lost(Note(First, Second, Third, [Second], compromised: true)));
        Assert.Equal([new EarlierKey(First, 40, true)], story.State.EarlierKeys);
    }

    [Fact]
    public void A_restore_an_audit_and_a_checker_are_recorded_with_what_they_name()
    {
        RecordAudit Audit(AuditResult result, long faults) => new(40, Url("root"), result, faults, "an auditor", null, null) { By = Opening.By };
        var story = Open();
        Assert.Empty(story.When(new RecordRestore(7, 9, "a disk failed") { By = Opening.By }));
        Assert.Equal("index-range", story.Refused(new RecordRestore(9, 7, null) { By = Opening.By }));
        Assert.Equal("index-range", story.Refused(new RecordRestore(0, 7, null) { By = Opening.By }));
        Assert.Empty(story.When(Audit(AuditResult.Faults, 2)));
        Assert.Equal("audit-unclear", story.Refused(Audit(AuditResult.NothingFound, 2)));
        Assert.Equal("no-such-checkpoint", story.Refused(Audit(AuditResult.NothingFound, 0) with { TreeRoot = Root }));
        Assert.Empty(story.When(new PublishChecker(Url("page"), 4_000) { By = Opening.By }));
        Assert.Equal("hash-form", story.Refused(new PublishChecker("page", 4_000) { By = Opening.By }));
        Assert.Equal("empty-page", story.Refused(new PublishChecker(Url("page"), 0) { By = Opening.By }));
    }
}
