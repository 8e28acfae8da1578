using System.Globalization;
using Custody.Transparency;

namespace Custody.Ledger.Tests;

/// <summary>Ways of breaking what others said of a ledger's times. The dossier they start from is cosigned twice and stamped, and passes under the policy
/// and root given.</summary>
static class TimeCases
{
    public static readonly SignerKey First = Cosigner(71), Second = Cosigner(72);

    /// <summary>Both cosigners are asked for.</summary>
    public static readonly string Policy = $"witness one {First.Verifier}\nwitness two {Second.Verifier}\ngroup both all one two\nquorum both\n";

    public static readonly StampForge Bureau = new();

    // Size of the tree before the bat's first entry.
    const int Before = 2;

    public static IEnumerable<Mutation> All()
    {
        yield return Case(5, "a cosigner of the policy is missing", w => w.Timed(own: n => n.By(w, First)));
        yield return Case(5, "a cosignature that does not fit", w => w.Timed(own: n => n.By(w, First).With(new NoteSignature(Second.Verifier.Name, Second.Verifier.KeyId, new byte[72]))));
        yield return Case(5, "one cosigner twice", w => w.Timed(own: n => n.By(w, First).By(w, First)));
        yield return Case(5, "cosigned by the ledger's own key", w => w.Timed(own: n => n.By(w, First).With(w.Ledger.Key.Sign(n.TextBytes))));
        yield return Case(9, "a time stamp of other bytes", w => w.Timed(change: f => f["2.tsr"] = Bureau.Stamp("other"u8.ToArray(), Start)));
        yield return Case(9, "a time stamp of another checkpoint", w => w.Timed(change: f => f["2.tsr"] = Bureau.Stamp(w.Ledger.Signed().ToArray(), Start)));
        yield return Case(9, "a time stamp of the note with its cosignatures", w => w.Timed(change: f => f["2.tsr"] = Bureau.Stamp(f["2.checkpoint"], Start)));
        yield return Case(9, "a time stamp cut short", w => w.Timed(change: f => f["2.tsr"] = f["2.tsr"][..^1]));
        yield return Case(9, "a time stamp with a byte too many", w => w.Timed(change: f => f["2.tsr"] = [.. f["2.tsr"], 0]));
        yield return Case(9, "what is no time stamp", w => w.Timed(change: f => f["2.tsr"] = "hello"u8.ToArray()));
        yield return Case(9, "a certificate that is for no use at all", w => w.Timed(change: f => f["2.tsr"] = Odd(w, new StampForge(withoutUses: true))));
        yield return Case(9, "a certificate whose use is not critical", w => w.Timed(change: f => f["2.tsr"] = Odd(w, new StampForge(critical: false))));
        yield return Case(9, "a certificate for another use", w => w.Timed(change: f => f["2.tsr"] = Odd(w, new StampForge(["1.3.6.1.5.5.7.3.1"]))));
        yield return Case(9, "a certificate for another use besides", w => w.Timed(change: f => f["2.tsr"] = Odd(w, new StampForge(["1.3.6.1.5.5.7.3.8", "1.3.6.1.5.5.7.3.1"]))));
        yield return Case(14, "recorded before a tree that lacks the entry", w => w.Timed(TimeSpan.FromDays(1)));
        yield return Case(14, "recorded after a tree that holds the entry", w => w.Timed(TimeSpan.FromDays(-1)));
        yield return Case(14, "a timed checkpoint is missing", w => w.Timed(change: f => f.Remove("2.checkpoint")));
        yield return Case(14, "the proof from a timed checkpoint is missing", w => w.Timed(change: f => f.Remove("2.consistency")));
        yield return Case(14, "a hash of the proof is changed", w => w.Timed(change: f => f["2.consistency"] = [.. (Hash.Of("x"u8).Standard + "\n").Bytes(), .. f["2.consistency"][45..]]));
        yield return Case(14, "a hash too many in the proof", w => w.Timed(change: f => f["2.consistency"] = [.. f["2.consistency"], .. (Hash.Of("x"u8).Standard + "\n").Bytes()]));
        yield return Case(14, "the proof's last line does not end", w => w.Timed(change: f => f["2.consistency"] = f["2.consistency"][..^1]));
        yield return Case(14, "a timed checkpoint under another size", w => w.Timed(change: f => f["3.checkpoint"] = f["2.checkpoint"]));
        yield return Case(14, "a timed checkpoint larger than the dossier's", w => w.Timed(change: f => f["9.checkpoint"] = w.Signed(c => c with { Size = 9 })));
        yield return Case(14, "a timed checkpoint of another root", w => w.Timed(change: f => f["2.checkpoint"] = w.Signed(c => c with { Root = Hash.Of("x"u8) })));
        yield return Case(14, "a timed checkpoint of another ledger", w => w.Timed(change: f => f["2.checkpoint"] = w.Signed(c => c with { Origin = "other.example" })));
        yield return Case(14, "a timed checkpoint signed by another key", w => w.Timed(change: f => f["2.checkpoint"] = w.Signed(c => c, SignerKey.FromSeed("ledger.example", [.. Enumerable.Repeat((byte)99, 32)]))));
        yield return Case(14, "a timed checkpoint that is none", w => w.Timed(change: f => f["2.checkpoint"] = "hello"u8.ToArray()));
    }

    static DateTimeOffset Start { get; } = new(2031, 4, 2, 9, 0, 0, TimeSpan.Zero);

    static Mutation Case(int check, string name, Func<Workshop, byte[]> make) => new(check, name, make) { Policy = Policy, TimeRoots = [Bureau.Root] };

    static SignerKey Cosigner(byte seed) => SignerKey.FromSeed($"cosigner-{seed}.example", [.. Enumerable.Repeat(seed, 32)], VerifierKey.Cosignature);

    static SignedNote By(this SignedNote note, Workshop w, params SignerKey[] cosigners) =>
        cosigners.Aggregate(note, (n, key) => n.With(key.Cosign(n.TextBytes, w.Ledger.Clock.ToUnixTimeSeconds())));

    static byte[] Odd(Workshop w, StampForge forge)
    {
        using (forge) return forge.Stamp(w.Ledger.SignedAt(Before).ToArray(), Start);
    }

    /// <summary>A cosigned checkpoint of size 2 after a change, signed again, by the ledger or by somebody else.</summary>
    static byte[] Signed(this Workshop w, Func<Checkpoint, Checkpoint> change, SignerKey? by = null) =>
        change(Checkpoint.Read(w.Ledger.SignedAt(Before))).Sign(by ?? w.Ledger.Key).By(w, First, Second).ToArray();

    /// <summary>The good dossier with its own checkpoint cosigned, and one timed before the bat's first entry.</summary>
    /// <param name="shift">How far the cosigners' clock is off the ledger's.</param>
    /// <param name="own">Other cosignatures under the dossier's own checkpoint.</param>
    /// <param name="change">What is done to the timeline's files.</param>
    public static byte[] Timed(
        this Workshop w, TimeSpan? shift = null, Func<SignedNote, SignedNote>? own = null, Action<Dictionary<string, byte[]>>? change = null)
    {
        var end = w.Ledger.Clock;
        w.Ledger.Clock = Start + (shift ?? default);
        var before = w.Ledger.SignedAt(Before);
        Dictionary<string, byte[]> timeline = new()
        {
            ["2.checkpoint"] = before.By(w, First, Second).ToArray(),
            ["2.consistency"] = w.Ledger.Consistency(Before),
            ["2.tsr"] = Bureau.Stamp(before.ToArray(), w.Ledger.Clock),
        };
        w.Ledger.Clock = end + (shift ?? default);
        var cosigned = own?.Invoke(w.Ledger.Signed()) ?? w.Ledger.Signed().By(w, First, Second);
        w.Ledger.Clock = end;
        change?.Invoke(timeline);
        var files = TestDossier.Files(TestDossier.Forged(w.Good, Workshop.Signed(w.Ledger.Contents(w.Bat), cosigned.ToArray())));
        foreach (var (name, file) in timeline) files[string.Create(CultureInfo.InvariantCulture, $"data/timeline/{name}")] = file;
        return TestDossier.Packed(files);
    }
}
