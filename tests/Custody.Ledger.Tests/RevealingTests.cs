using System.Text;
using System.Text.RegularExpressions;
using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger.Tests;

/// <summary>What an owner shows, field by field: the reader sees that and can tell nothing more.</summary>
public sealed partial class RevealingTests : IDisposable
{
    readonly TestLedger ledger = new();

    public void Dispose() => ledger.Dispose();

    [Fact]
    public void The_preview_is_what_the_dossier_holds()
    {
        var bat = TestDossier.Life(ledger);
        foreach (var reveal in new[] { Reveal.Nothing, Reveal.Parse(["description", "2/pictures/f1/device"]), Reveal.Parse(["all"]) })
        {
            var request = TestDossier.Request(ledger.Contents(bat), Chosen(bat, reveal));
            var (preview, files) = (DossierWriter.Preview(request), TestDossier.Files(TestDossier.Packed(request)));
            Assert.Equal(files["data/history.html"], preview.Page.ToArray());
            Assert.Equal(files["data/summary.json"], preview.Summary.ToArray());
            Assert.Equal(files["data/disclosures.json"], preview.Disclosures.ToArray());
            Assert.Equal(files.Keys.Where(f => f.StartsWith("data/photographs/", StringComparison.Ordinal)), preview.Photographs);
        }
    }

    [Fact]
    public void Every_withheld_value_is_listed_once_in_plain_words_and_nothing_else()
    {
        var bat = TestDossier.Life(ledger);
        var fields = WithheldFields.List(Shown(bat), Reveal.Parse(["1/parties/p2/name"]));
        Assert.Equal(Places(bat).Select(p => p.Path).Order(StringComparer.Ordinal), fields.Select(f => f.Place.Path).Order(StringComparer.Ordinal));
        Assert.Contains(fields, f => f is { Place.Path: "1/description", Happened: "Bat registered", Field: "description", Value: "ash, <34 in>, \"taped\"", Chosen: false });
        Assert.Contains(fields, f => f is { Place.Path: "2/pictures/f1/device", Field: "device (pictures f1)", Value: "a camera" });
        Assert.Equal(["1/parties/p2/name"], fields.Where(f => f.Chosen).Select(f => f.Place.Path));
    }

    [Fact]
    public void A_path_shows_one_place_and_no_other_of_the_same_name()
    {
        var places = new[] { new WithheldPlace(1, "/body", "name"), new WithheldPlace(1, "/body/parties/p1", "name"), new WithheldPlace(11, "/body", "name") };
        Assert.Equal([true, false, false], places.Select(Reveal.Parse(["1/name"]).Shows));
        Assert.Equal([false, true, false], places.Select(Reveal.Parse(["1/parties/p1/name"]).Shows));
        Assert.Equal(["2/name", "nam"], Reveal.Parse(["nam", "2/name", "1/name"]).Unfitting(places));
    }

    [Fact]
    public void Of_every_event_type_any_choice_of_what_is_said_leaves_the_same_entry_but_for_salt_and_digests()
    {
        foreach (var type in Shapes.Names)
        {
            var samples = Samples.For(type);
            var full = EntryCodec.Write(samples.Envelope(), samples.Fact(type, full: true), samples.Fill);
            var skeleton = Skeleton(full.Bytes);
            foreach (var said in Subsets(full.Withheld, samples))
            {
                var part = EntryCodec.Read(full.Bytes, said.Select(w => w.Disclosure));
                var again = EntryCodec.Write(part.Envelope, part.Fact, samples.Fill);
                Assert.Equal(said.Count, again.Withheld.Count);
                Assert.Equal(full.Bytes.Length, again.Bytes.Length);
                Assert.Equal(skeleton, Skeleton(again.Bytes));
            }
        }
    }

    [Fact]
    public void Two_readers_who_put_their_dossiers_together_learn_what_each_was_shown_and_nothing_else()
    {
        var bat = TestDossier.Life(ledger);
        var contents = ledger.Contents(bat);
        Reveal[] readers = [Reveal.Parse(["description", "1/parties/p1/name"]), Reveal.Parse(["2/pictures/f1/device"])];
        var dossiers = readers.Select(r => TestDossier.Packed(TestDossier.Request(contents, Chosen(bat, r)))).ToList();
        var (one, two) = (TestDossier.Files(dossiers[0]), TestDossier.Files(dossiers[1]));
        Assert.Equal(one.Keys, two.Keys);
        foreach (var name in one.Keys.Except(["data/disclosures.json", "data/history.html"])) Assert.Equal(one[name], two[name]);
        var kept = bat.Lines.SelectMany(l => l.Withheld.Select(w => (l.N, W: w))).Where(w => !readers.Any(r => r.Shows(new(w.N, w.W.Pointer, w.W.Name)))).ToList();
        Assert.NotEmpty(kept);
        var everything = Encoding.Latin1.GetString([.. dossiers.SelectMany(d => d), .. one.Values.Concat(two.Values).SelectMany(f => f)]);
        foreach (var (_, w) in kept)
        {
            Assert.DoesNotContain(w.Disclosure, everything, StringComparison.Ordinal);
            Assert.DoesNotContain(w.Salt, everything, StringComparison.Ordinal);
            // A value that is open elsewhere, as the name of a party shown under another entry, is no secret of this field.
            if (w.Value is Json.Str { Value: var text } && !bat.Lines.SelectMany(l => l.Withheld).Except(kept.Select(k => k.W)).Any(s => s.Value.Equals(w.Value)))
                Assert.DoesNotContain(text, everything, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Whoever_guesses_the_very_value_cannot_confirm_it_with_any_salt_they_were_given()
    {
        var bat = TestDossier.Life(ledger);
        var all = bat.Lines.SelectMany(l => l.Withheld).ToList();
        var given = all.Select(w => w.Salt).Concat(bat.Lines.Select(l => ((Json.Str)((Json.Obj)Jcs.Parse(l.Bytes))["salt"]!).Value)).ToList();
        Assert.Equal(given.Count, given.Distinct(StringComparer.Ordinal).Count());
        foreach (var secret in all)
            foreach (var salt in given.Where(s => s != secret.Salt))
                Assert.NotEqual(secret.Digest, Disclosure.Make(salt, secret.Name, secret.Value).Digest);
    }

    [Fact]
    public void Whether_a_field_was_kept_back_or_never_said_shows_nowhere_in_the_dossier()
    {
        using TestLedger other = new();
        var said = Registered(ledger, TestDossier.Registration(TestDossier.House, TestDossier.House));
        var silent = Registered(other, TestDossier.Registration(TestDossier.House, TestDossier.House) with { Place = null, Description = null });
        Assert.Equal(said.Keys, silent.Keys);
        foreach (var name in said.Keys)
        {
            Assert.Equal(said[name].Length, silent[name].Length);
            Assert.Equal(Random().Replace(said[name].Text(), "#"), Random().Replace(silent[name].Text(), "#"));
        }
    }

    static SortedDictionary<string, byte[]> Registered(TestLedger ledger, RegisterBat command) =>
        TestDossier.Files(TestDossier.Packed(TestDossier.Request(ledger.Contents(ledger.Bat().Do(command))) with { Photographs = [] }));

    static IEnumerable<WithheldPlace> Places(TestStream<Bat> bat) => bat.Lines.SelectMany(l => l.Withheld.Select(w => new WithheldPlace(l.N, w.Pointer, w.Name)));

    static List<Shown> Chosen(TestStream<Bat> bat, Reveal reveal) =>
        [.. bat.Lines.SelectMany(l => l.Withheld.Where(w => reveal.Shows(new(l.N, w.Pointer, w.Name))).Select(w => new Shown(bat.Name.ToString(), l.N, w.Pointer, w.Disclosure)))];

    static List<Entry> Shown(TestStream<Bat> bat) => [.. bat.Lines.Select(l => EntryCodec.Read(l.Bytes, l.Withheld.Select(w => w.Disclosure)))];

    // All of up to six fields, otherwise each alone and as many drawn ones.
    static IEnumerable<IReadOnlyList<WithheldValue>> Subsets(IReadOnlyList<WithheldValue> all, Samples samples)
    {
        if (all.Count <= 6)
        {
            for (var mask = 0; mask < 1 << all.Count; mask++) yield return [.. all.Where((_, i) => (mask >> i & 1) == 1)];
            yield break;
        }
        yield return [];
        foreach (var one in all) yield return [one];
        for (var i = 0; i < 40; i++) yield return [.. all.Where(_ => samples.Chance(2))];
    }

    /// <summary>The entry with each list of digests as its count, and without its salt.</summary>
    static string Skeleton(byte[] entry) => Encoding.UTF8.GetString(Jcs.Write(Bare(Jcs.Parse(entry))));

    static Json Bare(Json json) => json switch
    {
        Json.Obj obj => new Json.Obj(obj.Members.Select(m => new Json.Member(m.Name, m.Name switch
        {
            "_sd" => new Json.Int(((Json.Arr)m.Value).Items.Count),
            "salt" => new Json.Str(""),
            _ => Bare(m.Value),
        }))),
        Json.Arr array => new Json.Arr([.. array.Items.Select(Bare)]),
        _ => json,
    };

    /// <summary>Hashes, digests, salts and signatures: whatever looks drawn.</summary>
    [GeneratedRegex("[A-Za-z0-9+/_-]{22,}={0,2}")]
    private static partial Regex Random();
}
