using System.Globalization;
using Custody.Bats;
using Custody.Ledger;
using Custody.Ledger.Tests;
using Custody.Ledger.Tests.Tampering;
using Custody.Transparency;
using Custody.Transparency.Tests;

namespace Custody.Browser.Tests;

/// <summary>The dossiers that command and page are both given: good ones, every mutation with a check of its own, damaged and hostile files.</summary>
static class Cases
{
    /// <summary>At least 300, for the browser.</summary>
    public static IReadOnlyList<Case> All { get; } = [.. Mutations(), .. Lives(40), .. Damaged(60), .. Changed(80), .. Hostile(), .. Correct(), .. TimedCases.All(), .. Large(), .. Lost()];

    /// <summary>What a forger can do to every kind of file, with the manifests made again; for the page's script alone, which is quicker.</summary>
    public static IEnumerable<Case> Tampered()
    {
        using Ledger.Tests.Tampering.Target target = new();
        foreach (var path in target.Good.Keys.Where(p => p.StartsWith("data/", StringComparison.Ordinal) || p == "READ-ME.txt"))
            foreach (var change in Changes.All)
                foreach (var (files, i) in change.Make(target, path).Select((f, i) => (f, i)).Where(c => c.i % 4 == 0))
                    if (Repacked(files) is { } zip) yield return new($"{path} {change.Name} {i}", zip, target.Ledger.Key.Verifier.Text) { Policy = TimeCases.Policy };
    }

    /// <summary>An entry of every event type, with everything said and with things left out, in a history that holds nothing else of worth.</summary>
    public static IEnumerable<Case> EveryType()
    {
        using TestLedger ledger = new();
        var good = TestDossier.Files(TestDossier.Good(ledger));
        foreach (var type in Shapes.Names)
        {
            var samples = Samples.For(type);
            var written = Enumerable.Range(0, 6).Select(i => EntryCodec.Write(samples.Envelope(), samples.Fact(type, full: i < 2), samples.Fill)).ToList();
            good["data/history.jsonl"] = TestDossier.Lines(written.Select(w => (ReadOnlyMemory<byte>)w.Bytes));
            yield return new(type, TestDossier.Packed(good));
        }
    }

    static byte[]? Repacked(SortedDictionary<string, byte[]> files)
    {
        try
        {
            return TestDossier.Packed(files.Where(f => f.Key.StartsWith("data/", StringComparison.Ordinal) || f.Key == "READ-ME.txt"));
        }
        catch (Malformed)
        {
            return null; // a name that our own writer puts into no archive
        }
    }

    static IEnumerable<Case> Mutations() => MutationCases.All.Select(m =>
    {
        using Workshop workshop = new();
        return new Case(m.Key, m.Value.Make(workshop), (m.Value.Key ?? workshop.Ledger.Key.Verifier).Text, m.Value.Label) { Policy = m.Value.Policy };
    });

    static IEnumerable<Case> Lives(int count)
    {
        for (ulong seed = 0; seed < (ulong)count; seed++)
        {
            using TestLedger ledger = new();
            var random = new Samples(seed);
            var bat = GeneratedDossiers.RandomLife(ledger, random);
            var shown = bat.Show("description", "name", "place", "condition").Where(_ => random.Chance(2));
            var request = TestDossier.Request(ledger.Contents(bat), shown);
            var label = random.Chance(2) ? Crockford.Encode(Hash.Parse(bat.Lines[2].Hash).ToArray().AsSpan(0, 16)) : null;
            yield return new(
                string.Create(CultureInfo.InvariantCulture, $"life {seed}"), TestDossier.Packed(random.Chance(2) ? request : request with { Photographs = [] }),
                random.Chance(2) ? ledger.Key.Verifier.Text : null, label);
        }
    }

    static IEnumerable<Case> Damaged(int count)
    {
        using TestLedger ledger = new();
        var good = TestDossier.Good(ledger);
        for (var seed = 0; seed < count; seed++)
            yield return new(string.Create(CultureInfo.InvariantCulture, $"damaged {seed}"), GeneratedDossiers.Damaged(good, new Samples((ulong)seed)), ledger.Key.Verifier.Text);
    }

    static IEnumerable<Case> Changed(int count)
    {
        using TestLedger ledger = new();
        var good = TestDossier.Files(TestDossier.Good(ledger));
        for (var seed = 0; seed < count; seed++)
        {
            var random = new Samples((ulong)seed);
            SortedDictionary<string, byte[]> files = new(good, StringComparer.Ordinal);
            var path = files.Keys.ElementAt(random.Below(files.Count));
            files[path] = GeneratedDossiers.Changed(files[path], random);
            yield return new(string.Create(CultureInfo.InvariantCulture, $"changed {seed} {path}"), TestDossier.Packed(files), ledger.Key.Verifier.Text);
        }
    }

    // Two readers could see different files in these, or one could be made to do much work.
    static IEnumerable<Case> Hostile()
    {
        Forged F(string name, string content) => new("2031-0007-K/" + name, content.Bytes());
        Forged[] bag = [F("bagit.txt", "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"), F("data/history.jsonl", "{}\n")];
        Case Of(string name, params Forged[] more) => new("hostile: " + name, ZipForge.Write([.. bag, .. more]));
        yield return Of("nothing besides");
        yield return Of("a name twice", F("data/head", "a"), F("data/head", "b"));
        yield return Of("twins by case", F("data/head", "a"), F("data/HEAD", "b"));
        yield return Of("dot segments", F("data/../../etc/passwd", "a"));
        yield return Of("a backslash", F("data\\head", "a"));
        yield return Of("an absolute name", new Forged("/head", "a".Bytes()));
        yield return Of("a file that is a folder too", F("data/head", "a"), F("data/head/x", "b"));
        yield return Of("too deep", F("data/" + string.Concat(Enumerable.Repeat("a/", 40)) + "x", "a"));
        yield return Of("another name where it lies", F("data/head", "a") with { LocalName = "2031-0007-K/data/hand" });
        yield return Of("another checksum where it lies", F("data/head", "a") with { LocalCrc = 1 });
        yield return Of("another size where it lies", F("data/head", "a") with { LocalSize = 2 });
        yield return Of("a wrong checksum", F("data/head", "a") with { Crc = 1 });
        yield return Of("said to be larger than the archive", F("data/head", "a") with { Size = 1 << 30, CompressedSize = 1 << 30 });
        yield return Of("encrypted", F("data/head", "a") with { Flags = 0x0801 });
        yield return Of("compressed", F("data/head", "a") with { Method = 8 });
        yield return Of("a link", F("data/head", "a") with { Attributes = 0xa1ff0000 });
        yield return Of("an extra field", F("data/head", "a") with { Extra = [0x55, 0x54, 1, 0, 0] });
        yield return Of("a comment", F("data/head", "a") with { Comment = "hello" });
        yield return Of("another disk", F("data/head", "a") with { Disk = 1 });
        yield return Of("overlapping", F("data/head", "a") with { OffsetShift = -3 });
        yield return Of("bytes between", F("data/head", "a") with { Before = [1, 2, 3] });
        yield return Of("a name that is not UTF-8", F("x", "a") with { RawName = [0x32, 0xff] });
        yield return Of("a later version", F("data/head", "a") with { Version = 63 });
        yield return Of("another folder", new Forged("elsewhere/data/head", "a".Bytes()));
        yield return new("hostile: no archive", "hello, this is no archive at all"u8.ToArray());
        yield return new("hostile: nothing", []);
        yield return new("hostile: only the first letters of an archive", "PK\x03\x04"u8.ToArray());
        yield return new("hostile: an archive of something else", ZipForge.Write(new Forged("readme.txt", "hello"u8.ToArray())));
        yield return new("hostile: a bag of something else", ZipForge.Write(F("bagit.txt", "BagIt-Version: 1.0\n"), F("data/a", "b")));
    }

    // Pictures that the browser hashes, and such as it is not given.
    static IEnumerable<Case> Large()
    {
        foreach (var length in new[] { (1 << 16) - 1, 3_000_001 })
        {
            using TestLedger ledger = new();
            byte[] picture = new byte[length];
            TestDossier.Picture.CopyTo(picture, 0);
            var bat = TestDossier.Life(ledger).Do(new PhotographBat([new(new(Hash.Of(picture).Text), null, BatView.Knob, Lighting.Raking, ScaleShown.Ruler, null, null, null)], null, null) { By = TestDossier.House });
            var request = TestDossier.Request(ledger.Contents(bat));
            request = request with { Photographs = [.. request.Photographs, new(Hash.Of(picture).Text, "jpg", () => new MemoryStream(picture))] };
            var good = TestDossier.Packed(request);
            yield return new(string.Create(CultureInfo.InvariantCulture, $"a picture of {length} bytes"), good);
            var changed = (byte[])good.Clone();
            changed[changed.AsSpan().IndexOf(picture.AsSpan(0, 100)) + length - 1] ^= 1;
            yield return new(string.Create(CultureInfo.InvariantCulture, $"a picture of {length} bytes, its last bit changed"), changed);
        }
    }

    // Entries that a restore lost, or the law took away: a report, its correction, a label, a label's end.
    static IEnumerable<Case> Lost()
    {
        foreach (var name in new[] { "occurred", "withheld, shown", "void", "correction of a label's void" })
        {
            using TestLedger ledger = new();
            var bat = TestDossier.Life(ledger);
            Corrections.Make(bat, name);
            var own = ledger.Contents(bat);
            var whole = TestDossier.Packed(TestDossier.Request(own));
            var label = Crockford.Encode(Hash.Parse(bat.Lines[2].Hash).ToArray().AsSpan(0, 16));
            for (var lost = 1; lost < bat.Lines.Count; lost++)
            {
                var gone = new Gone(lost + 1, bat.Lines[lost].Hash, ledger.Own.Reference(2)).ToLine();
                var zip = TestDossier.Forged(whole, own with { History = [.. own.History.Take(lost), gone, .. own.History.Skip(lost + 1)] });
                yield return new(string.Create(CultureInfo.InvariantCulture, $"entry {lost + 1} gone, corrected: {name}"), zip, null, lost % 2 == 0 ? label : null);
            }
        }
    }

    // A history with corrections: what later entries say of earlier ones is told.
    static IEnumerable<Case> Correct()
    {
        foreach (var name in new[] { "occurred", "open", "withheld, shown", "withheld, not shown", "void", "correction of a label's void" })
        {
            using TestLedger ledger = new();
            var bat = TestDossier.Life(ledger);
            Corrections.Make(bat, name);
            string[] shown = name == "withheld, not shown" ? ["description"] : ["description", "name", "newText", "place", "reason"];
            yield return new("corrected: " + name, TestDossier.Packed(TestDossier.Request(ledger.Contents(bat), bat.Show(shown))), ledger.Key.Verifier.Text);
        }
    }
}
