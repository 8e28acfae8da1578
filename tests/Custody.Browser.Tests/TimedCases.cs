using System.Globalization;
using Custody.Bats;
using Custody.Ledger;
using Custody.Ledger.Tests;
using Custody.Transparency;

namespace Custody.Browser.Tests;

/// <summary>Dossiers with checkpoints that others have seen, true ones and forged ones, and readers with and without a policy.</summary>
static class TimedCases
{
    public static IEnumerable<Case> All()
    {
        foreach (var quorum in new[] { null, "both", "one", "none" })
        {
            yield return Of($"timed, {quorum ?? "no policy"}", quorum);
            yield return Of($"one cosigner only, {quorum ?? "no policy"}", quorum, cosigners: 1);
        }
        yield return Of("dated back a day", "both", shift: TimeSpan.FromDays(1));
        yield return Of("dated on a day", "both", shift: TimeSpan.FromDays(-1));
        yield return Of("within what was promised", "both", shift: TimeSpan.FromSeconds(300));
        foreach (var kind in new[] { "checkpoint", "consistency" })
        {
            yield return Of($"first {kind} taken away", "both", change: (t, sizes) => t.Remove(Name(sizes[0], kind)));
            yield return Of($"first {kind} is that of the second", "both", change: (t, sizes) => t[Name(sizes[0], kind)] = t[Name(sizes[1], kind)]);
            yield return Of($"first {kind} is something else", "both", change: (t, sizes) => t[Name(sizes[0], kind)] = "hello\n".Bytes());
            yield return Of($"first {kind} is cut short", null, change: (t, sizes) => t[Name(sizes[0], kind)] = t[Name(sizes[0], kind)][..^1]);
        }
        yield return Of("a cosignature of zeros besides", "both", change: (t, sizes) =>
        {
            using var first = Cosigner(71);
            t[Name(sizes[0], "checkpoint")] = SignedNote.Parse(t[Name(sizes[0], "checkpoint")].Span).With(new(first.Verifier.Name, first.Verifier.KeyId, new byte[72])).ToArray();
        });
        yield return NamesNobody();
        yield return Of("a cosignature of a time beyond any calendar besides", "both", change: (t, sizes) =>
        {
            using var first = Cosigner(71);
            var note = SignedNote.Parse(t[Name(sizes[0], "checkpoint")].Span);
            var late = first.Cosign(note.TextBytes, long.MaxValue);
            t[Name(sizes[0], "checkpoint")] = (note.Text + "\n" + string.Concat(note.Signatures.Select(s => (first.Verifier.Owns(s) ? late : s).Line + "\n"))).Bytes();
        });
        foreach (var quorum in new[] { null, "both" })
        {
            yield return Of($"seen before a compromise was told, {quorum ?? "no policy"}", quorum, compromised: TimeSpan.FromHours(1));
            yield return Of($"seen when a compromise had been told, {quorum ?? "no policy"}", quorum, shift: TimeSpan.FromSeconds(250), compromised: TimeSpan.Zero);
        }
        yield return Of("a day between the trees", "both", own: 2, pause: TimeSpan.FromDays(1));
        yield return Of("five days between the trees", "both", own: 2, pause: TimeSpan.FromDays(5));
        yield return Of("the dossier's own checkpoint cosigned", "both", own: 2);
        yield return Of("the dossier's own checkpoint cosigned by one", "both", own: 1);
        yield return Of("the dossier's own checkpoint cosigned by one of any", "one", own: 1);
    }

    static Case NamesNobody()
    {
        using TestLedger honest = new(), other = new(cosigners: ["hello", "+", ""]);
        var bat = TestDossier.Life(other);
        return new("timeline: a ledger that names what is no cosigner", TestDossier.Forged(TestDossier.Good(honest), other.Contents(bat)), other.Key.Verifier.Text);
    }

    static string Name(long size, string kind) => string.Create(CultureInfo.InvariantCulture, $"{size}.{kind}");

    static SignerKey Cosigner(byte seed) => SignerKey.FromSeed(
        string.Create(CultureInfo.InvariantCulture, $"cosigner-{seed}.example"), [.. Enumerable.Repeat(seed, 32)], VerifierKey.Cosignature);

    static Case Of(
        string name, string? quorum, TimeSpan shift = default, int cosigners = 2, int own = 0,
        TimeSpan? compromised = null, TimeSpan pause = default, Action<Dictionary<string, ReadOnlyMemory<byte>>, List<long>>? change = null)
    {
        using TestLedger ledger = new();
        using SignerKey first = Cosigner(71), second = Cosigner(72);
        Dictionary<string, ReadOnlyMemory<byte>> timeline = [];
        List<long> sizes = [];
        SignedNote Cosigned(SignedNote note, int count) =>
            new[] { first, second }.Take(count).Aggregate(note, (n, key) => n.With(key.Cosign(n.TextBytes, (ledger.Clock + shift).ToUnixTimeSeconds())));
        void Seen()
        {
            timeline[Name(ledger.Size, "checkpoint")] = Cosigned(ledger.Signed(), cosigners).ToArray();
            sizes.Add(ledger.Size);
        }
        Seen();
        var bat = TestDossier.Life(ledger);
        ledger.Clock += pause;
        Seen();
        bat.Do(new IssueLabel(LabelForm.Card, LabelPlace.Box, "LABELS.EXAMPLE", []) { By = TestDossier.House });
        if (compromised is { } until)
        {
            ledger.Clock += until;
            ledger.Rotate(compromised: true);
        }
        foreach (var size in sizes) timeline[Name(size, "consistency")] = ledger.Consistency(size);
        var contents = ledger.Contents(bat);
        var signed = Workshop.Signed(contents, Cosigned(SignedNote.Parse(contents.Checkpoint.Span), own).ToArray());
        var files = TestDossier.Files(TestDossier.Packed(TestDossier.Request(signed)));
        change?.Invoke(timeline, sizes);
        foreach (var (file, bytes) in timeline) files["data/timeline/" + file] = bytes.ToArray();
        return new Case("timeline: " + name, TestDossier.Packed(files), quorum == "none" ? ledger.Key.Verifier.Text : null)
        {
            Policy = quorum is null ? null
                : $"# who counts\nlog {ledger.Key.Verifier}\nwitness one {first.Verifier} https://one.example/\n\twitness two  {second.Verifier}\ngroup both all one two\nquorum {quorum}\n",
        };
    }
}
