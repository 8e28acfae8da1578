using System.Text;
using Custody.Bats;
using Custody.Evidence;
using Custody.Transparency;

namespace Custody.Ledger.Tests;

public class EntryCodecTests
{
    static readonly StreamName Stream = StreamName.Parse("bat/" + new string('0', 26));

    static readonly Envelope First = new("ledger.example", 1, Stream, 1, null, new(2031, 4, 2, 9, 15, 0, TimeSpan.Zero), Edtf.Parse("2031-04-01"), new Alias(1));

    static readonly BatRegistered Registered = new(
        "2031-0001-X", Arrival.BroughtIn, new Alias(1), new Alias(2), AssertionBasis.HouseRecord, [new(new Alias(1), Fraction.Whole)],
        AssertionBasis.HoldersWord, "a bat", null, null)
    {
        Parties = new Keyed<Introduced>
        {
            ["p1"] = new(Role.Owner, "Someone", "party/" + new string('A', 25) + "0"),
            ["p2"] = new(Role.House, "A house", null),
        },
    };

    /// <summary>Counts up, so that a test's bytes are the same on every run.</summary>
    internal static Action<Span<byte>> Counting(byte from = 0) => bytes => { foreach (ref var b in bytes) b = from++; };

    [Fact]
    public void An_entry_is_written_as_the_format_says()
    {
        var written = EntryCodec.Write(First, Registered, Counting());
        var entry = (Json.Obj)Jcs.Parse(written.Bytes);
        Assert.Equal("body by ledger n occurred recorded rules salt stream type v", string.Join(' ', entry.Members.Select(m => m.Name)));
        var body = entry.Require<Json.Obj>("body");
        Assert.Equal("_sd arrival custodian custodyBasis parties presentedBy shortNumber title titleBasis", string.Join(' ', body.Members.Select(m => m.Name)));
        Assert.Equal(3, body.Require<Json.Arr>("_sd").Items.Count);
        Assert.Equal("broughtIn", body.Require<Json.Str>("arrival").Value);
        Assert.DoesNotContain("a bat", Encoding.UTF8.GetString(written.Bytes));
        Assert.Equal(Hash.Of(written.Bytes).Text, written.Hash);
    }

    [Fact]
    public void Every_value_kept_back_comes_with_its_place_and_whom_it_concerns()
    {
        var withheld = EntryCodec.Write(First, Registered, Counting()).Withheld;
        Assert.Equal(
            ["/body description ", "/body/parties/p1 name p1", "/body/parties/p1 partyStream p1", "/body/parties/p2 name p2"],
            withheld.Select(w => $"{w.Pointer} {w.Name} {w.Concerns}"));
        Assert.All(withheld, w => Assert.Equal(w.Digest, Disclosure.Digest(w.Disclosure)));
    }

    [Fact]
    public void Without_disclosures_an_entry_reads_back_with_every_withheld_value_empty()
    {
        var written = EntryCodec.Write(First, Registered, Counting());
        var read = EntryCodec.Read(written.Bytes);
        Assert.Equal(First, read.Envelope);
        Assert.Equal(written.Hash, read.Hash);
        var fact = Assert.IsType<BatRegistered>(read.Fact);
        Assert.Null(fact.Description);
        Assert.Null(fact.Parties!["p1"].Name);
        Assert.Equal(Registered.Title, fact.Title);
        Assert.Equal(Role.House, fact.Parties["p2"].Role);
    }

    [Fact]
    public void With_disclosures_the_shown_values_are_filled_in_and_no_others()
    {
        var written = EntryCodec.Write(First, Registered, Counting());
        var fact = (BatRegistered)EntryCodec.Read(written.Bytes, [written.Withheld[0].Disclosure, written.Withheld[3].Disclosure]).Fact;
        Assert.Equal("a bat", fact.Description!.Value);
        Assert.Equal("A house", fact.Parties!["p2"].Name!.Value);
        Assert.Null(fact.Parties["p1"].Name);
    }

    [Fact]
    public void A_disclosure_that_fits_no_digest_is_refused()
    {
        var written = EntryCodec.Write(First, Registered, Counting());
        var other = EntryCodec.Write(First, Registered, Counting(7)).Withheld[0].Disclosure;
        Assert.Equal("entry.disclosure-unmatched", Assert.Throws<Malformed>(() => EntryCodec.Read(written.Bytes, [other])).Code);
    }
}
