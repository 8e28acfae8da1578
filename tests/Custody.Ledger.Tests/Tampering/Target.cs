using System.Globalization;
using Custody.Bats;
using Custody.Evidence;
using Custody.Transparency;

namespace Custody.Ledger.Tests.Tampering;

/// <summary>A dossier with every kind of file in it: a history gone on from another ledger, a changed key, pictures, papers, things shown, trees that others saw.
/// Beside it what a forger would have at hand: an older dossier of the same bat, one of another bat, and a key of the same name.</summary>
sealed class Target : IDisposable
{
    readonly List<(long Size, byte[] Note, byte[]? Stamp)> seen = [];
    readonly TestLedger older = new("older.example/bats", seed: 40);

    public Target()
    {
        var there = TestDossier.Life(older, 'E');
        var earlier = Workshop.Signed(older.Contents(there), Cosigned(older).ToArray());
        var at = Checkpoint.Read(SignedNote.Parse(earlier.Checkpoint.Span));
        Seen();
        var bat = TestDossier.Life(Ledger)
            .Do(new ContinueFrom(there.Reference(there.Lines[^1].N) with { Ledger = older.Origin }, new CheckpointAt(at.Size, at.Root.Text)) { By = TestDossier.House });
        bat.Do(Photographed(0)).Do(Incident("a dent"));
        Seen(stamped: false);
        Older = Made(bat, earlier);
        Ledger.Rotate();
        bat.Do(Photographed(1)).Do(Incident("a crack")).Do(new IssueLabel(LabelForm.Card, LabelPlace.Box, "LABELS.EXAMPLE", []) { By = TestDossier.House });
        Seen();
        Good = Made(bat, earlier);
        var other = TestDossier.Life(Ledger, 'C').Do(Photographed(2)).Do(Incident("a chip"));
        Other = Made(other, earlier);
    }

    public TestLedger Ledger { get; } = new();

    /// <summary>Signs as the ledger, to whoever looks at the name alone.</summary>
    public SignerKey Forger { get; } = SignerKey.FromSeed("ledger.example", [.. Enumerable.Repeat((byte)99, 32)]);

    public SortedDictionary<string, byte[]> Good { get; }

    /// <summary>The same bat, three entries and a key before.</summary>
    public SortedDictionary<string, byte[]> Older { get; }

    public SortedDictionary<string, byte[]> Other { get; }

    public Report Check(byte[] zip, bool withStamps = true) => Checker.Run(
        DossierReader.Read(new MemoryStream(zip)),
        new Expected([Ledger.Key.Verifier], null, TestDossier.Now) { Policy = CosignPolicy.Parse(TimeCases.Policy.Bytes()), TimeRoots = withStamps ? [TimeCases.Bureau.Root] : [] });

    /// <summary>Others see the tree as it stands: two cosigners and an authority for time stamps.</summary>
    void Seen(bool stamped = true) =>
        seen.Add((Ledger.Size, Cosigned(Ledger).ToArray(), stamped ? TimeCases.Bureau.Stamp(Ledger.Signed().ToArray(), Ledger.Clock) : null));

    static SignedNote Cosigned(TestLedger ledger) =>
        new[] { TimeCases.First, TimeCases.Second }.Aggregate(ledger.Signed(), (n, key) => n.With(key.Cosign(n.TextBytes, ledger.Clock.ToUnixTimeSeconds())));

    public void Dispose()
    {
        Forger.Dispose();
        Ledger.Dispose();
        older.Dispose();
    }

    static byte[] Picture(int i) => [0xFF, 0xD8, 0xFF, 0xE0, (byte)i];

    static PhotographBat Photographed(int i) => new(
        [new(new(Hash.Of(Picture(i)).Text), null, BatView.Knob, Lighting.Raking, ScaleShown.Ruler, null, null, null)], null, null)
    { By = TestDossier.House };

    static ReportIncident Incident(string what) =>
        new(default, default, null, AssertionBasis.Letter, [], null, "a barn", what, null) { By = TestDossier.Owner, Occurred = Edtf.Parse("1960?") };

    SortedDictionary<string, byte[]> Made(TestStream<Bat> bat, LedgerContents earlier)
    {
        var named = bat.Lines.SelectMany(l => Shapes.Open<PictureHash>(EntryCodec.Read(l.Bytes).Fact)).Select(p => p.Text).ToHashSet(StringComparer.Ordinal);
        List<byte[]> pictures = [TestDossier.Picture, Picture(0), Picture(1), Picture(2)];
        var request = TestDossier.Request(Workshop.Signed(Ledger.Contents(bat), Cosigned(Ledger).ToArray()) with { Timeline = Timeline() }, bat.Show("description", "name", "paperHash")) with
        {
            Earlier = bat.Name == TestLedger.Name("bat", 'B') ? [earlier] : [],
            Photographs = [.. pictures.Where(p => named.Contains(Hash.Of(p).Text)).Select(p => new DossierFile(Hash.Of(p).Text, "jpg", () => new MemoryStream(p)))],
            Documents = [new(Hash.Of(TestDossier.Paper).Text, "pdf", () => new MemoryStream(TestDossier.Paper))],
        };
        return TestDossier.AllFiles(TestDossier.Packed(request));
    }

    Dictionary<string, ReadOnlyMemory<byte>> Timeline()
    {
        Dictionary<string, ReadOnlyMemory<byte>> files = [];
        foreach (var (size, note, stamp) in seen)
        {
            files[Name(size, "checkpoint")] = note;
            if (stamp is not null) files[Name(size, "tsr")] = stamp;
            if (size < Ledger.Size) files[Name(size, "consistency")] = Ledger.Consistency(size);
        }
        return files;
    }

    static string Name(long size, string kind) => string.Create(CultureInfo.InvariantCulture, $"{size}.{kind}");
}
