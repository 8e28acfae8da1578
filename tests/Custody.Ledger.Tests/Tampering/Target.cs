using Custody.Bats;
using Custody.Evidence;
using Custody.Transparency;

namespace Custody.Ledger.Tests.Tampering;

/// <summary>A dossier with every kind of file in it: a history gone on from another ledger, a changed key, pictures, papers, things shown.
/// Beside it what a forger would have at hand: an older dossier of the same bat, one of another bat, and a key of the same name.</summary>
sealed class Target : IDisposable
{
    readonly TestLedger older = new("older.example/bats", seed: 40);

    public Target()
    {
        var there = TestDossier.Life(older, 'E');
        var earlier = older.Contents(there);
        var at = Checkpoint.Read(SignedNote.Parse(earlier.Checkpoint.Span));
        var bat = TestDossier.Life(Ledger)
            .Do(new ContinueFrom(there.Reference(there.Lines[^1].N) with { Ledger = older.Origin }, new CheckpointAt(at.Size, at.Root.Text)) { By = TestDossier.House });
        bat.Do(Photographed(0)).Do(Incident("a dent"));
        Older = Made(bat, earlier);
        Ledger.Rotate();
        bat.Do(Photographed(1)).Do(Incident("a crack")).Do(new IssueLabel(LabelForm.Card, LabelPlace.Box, "LABELS.EXAMPLE", []) { By = TestDossier.House });
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

    public Report Check(byte[] zip) => TestDossier.Check(zip, Ledger.Key.Verifier);

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
        var request = TestDossier.Request(Ledger.Contents(bat), bat.Show("description", "name", "paperHash")) with
        {
            Earlier = bat.Name == TestLedger.Name("bat", 'B') ? [earlier] : [],
            Photographs = [.. pictures.Where(p => named.Contains(Hash.Of(p).Text)).Select(p => new DossierFile(Hash.Of(p).Text, "jpg", () => new MemoryStream(p)))],
            Documents = [new(Hash.Of(TestDossier.Paper).Text, "pdf", () => new MemoryStream(TestDossier.Paper))],
        };
        return TestDossier.AllFiles(TestDossier.Packed(request));
    }
}
