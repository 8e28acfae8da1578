using System.Text;
using Custody.Bats;
using Custody.Evidence;
using Custody.Transparency;

namespace Custody.Ledger.Tests;

/// <summary>Dossiers to check: a good one, and whatever becomes of it when its files are changed and it is packed again.</summary>
static class TestDossier
{
    public static readonly PartyId Owner = TestLedger.Party('A');
    public static readonly PartyId House = TestLedger.Party('H');

    /// <summary>Not a picture anyone could look at; it begins as a JPEG does, which is all that is checked here.</summary>
    public static readonly byte[] Picture = [0xFF, 0xD8, 0xFF, 0xE0, .. "a picture"u8];

    public static readonly byte[] Paper = "%PDF a signed paper"u8.ToArray();

    public static PictureHash PictureName => new(Hash.Of(Picture).Text);

    public static readonly DateTimeOffset Now = new(2031, 5, 1, 0, 0, 0, TimeSpan.Zero);

    public static RegisterBat Registration(PartyId by, PartyId keeper) => new(
        "2031-0007-K", Arrival.BroughtIn, Owner, keeper, AssertionBasis.HouseRecord, [new(Owner, Fraction.Whole)], AssertionBasis.HoldersWord,
        "ash, <34 in>, \"taped\"", "a back room", null)
    { By = by, Occurred = Edtf.Parse("2031-04-01~") };

    /// <summary>A short life: registered, photographed, labelled, given back.</summary>
    public static TestStream<Bat> Life(TestLedger ledger, char letter = 'B') => ledger.Bat(letter).Do(Registration(House, House))
        .Do(new PhotographBat([new(PictureName, Hash.Of("the original"u8).Text, BatView.WholeLength, Lighting.Ordinary, ScaleShown.Ruler, null, "a camera", null)], null, null) { By = House })
        .Do(new IssueLabel(LabelForm.Card, LabelPlace.TiedTag, "LABELS.EXAMPLE", []) { By = House })
        .Do(Released(Owner));

    public static ReleaseBat Released(PartyId to) => new(
        to, HandoverPurpose.Return, Attestation.SignedPaper, null, null, "a counter", null, null, null, [PictureName], Hash.Of(Paper).Text)
    { By = House };

    public static DossierRequest Request(LedgerContents own, IEnumerable<Shown>? shown = null) =>
        new("2031-0007-K", own, [], [.. shown ?? []], [new(PictureName.Text, "jpg", () => new MemoryStream(Picture))], []);

    /// <summary>The dossier of that life, with the description, the names and the paper shown.</summary>
    public static byte[] Good(TestLedger ledger)
    {
        var bat = Life(ledger);
        return Packed(Request(ledger.Contents(bat), bat.Show("description", "name", "paperHash")) with
        {
            Documents = [new(Hash.Of(Paper).Text, "pdf", () => new MemoryStream(Paper))],
        });
    }

    public static byte[] Packed(DossierRequest request)
    {
        var zip = new MemoryStream();
        DossierWriter.Write(zip, request);
        return zip.ToArray();
    }

    /// <summary>The files of a dossier by path below its folder, without those the bag makes itself.</summary>
    public static SortedDictionary<string, byte[]> Files(byte[] zip)
    {
        var bag = Bag.In(BagZipReader.Open(new MemoryStream(zip)));
        return new(bag.Paths.Where(p => p.StartsWith("data/", StringComparison.Ordinal) || p == "READ-ME.txt").ToDictionary(p => p, p => bag.ReadAll(p, 1 << 24)), StringComparer.Ordinal);
    }

    /// <summary>All files, those the bag makes itself among them.</summary>
    public static SortedDictionary<string, byte[]> AllFiles(byte[] zip)
    {
        var bag = Bag.In(BagZipReader.Open(new MemoryStream(zip)));
        return new(bag.Paths.ToDictionary(p => p, p => bag.ReadAll(p, 1 << 24)), StringComparer.Ordinal);
    }

    /// <summary>Packs files as a valid bag again, whatever they hold.</summary>
    public static byte[] Packed(IEnumerable<KeyValuePair<string, byte[]>> files, string number = "2031-0007-K")
    {
        var zip = new MemoryStream();
        BagZipWriter.Write(zip, number, files.Select(f => BagFile.Of(f.Key, f.Value)), [new("External-Identifier", number)], new(2031, 4, 2, 10, 0, 0, TimeSpan.Zero));
        return zip.ToArray();
    }

    /// <summary>A dossier whose own writer would refuse to write it: the good one's other files around forged contents.</summary>
    public static byte[] Forged(byte[] good, LedgerContents own)
    {
        var files = Files(good);
        foreach (var path in files.Keys.Where(p => p.StartsWith("data/proofs/", StringComparison.Ordinal)).ToList()) files.Remove(path);
        foreach (var (index, proof) in own.Proofs) files[$"data/proofs/{index}.tlog-proof"] = proof.ToArray();
        files["data/history.jsonl"] = Lines(own.History);
        files["data/context.jsonl"] = Lines(own.Context);
        files["data/checkpoint"] = own.Checkpoint.ToArray();
        files["data/head"] = own.Head.ToArray();
        // A forger can fold, too.
        var lines = HistoryLines.Read(files["data/history.jsonl"]).Lines;
        if (lines.DistinctBy(l => l.Form?.Envelope.Stream).Count() == 1 && Redeciding.Stream("bat", lines, _ => NothingCited.Instance).Decided == lines.Count)
            files["data/summary.json"] = Summary.Write(Bats.History.Of(lines.Select(l => l.Entry!)).AsCorrected());
        return Packed(files);
    }

    public static byte[] Lines(IEnumerable<ReadOnlyMemory<byte>> lines) => [.. lines.SelectMany(l => (byte[])[.. l.Span, (byte)'\n'])];

    public static Report Check(byte[] zip, VerifierKey? key = null, string? label = null) =>
        Checker.Run(DossierReader.Read(new MemoryStream(zip)), new Expected(key is null ? [] : [key], label, Now));

    public static string Text(this byte[] bytes) => Encoding.UTF8.GetString(bytes);

    public static byte[] Bytes(this string text) => Encoding.UTF8.GetBytes(text);
}
