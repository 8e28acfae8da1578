using System.Security.Cryptography;
using System.Text;

namespace Custody.Transparency.Tests;

public class HashTests
{
    // FIPS 180-4, the one-block example "abc"
    const string Abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

    [Fact]
    public void A_hash_reads_back_from_each_of_its_spellings()
    {
        var hash = Hash.Of("abc"u8);
        Assert.Equal(Abc, hash.Hex);
        Assert.Equal(hash, Hash.ParseHex(hash.Hex));
        Assert.Equal(hash, Hash.Parse(hash.Text));
        Assert.Equal(hash, Hash.ParseStandard(hash.Standard));
        Assert.Equal(hash, Hash.FromBytes(hash.ToArray()));
        Assert.Equal("ungWv48Bz-pBQUDeXa4iI7ADYaOWF3qctBD_YfIAFa0", hash.Text);
        Assert.Equal("ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0=", hash.Standard);
    }

    [Fact]
    public void Other_spellings_are_refused()
    {
        var hash = Hash.Of("abc"u8);
        Refused.With("hash", () => Hash.Parse(hash.Text + "="));
        Refused.With("hash", () => Hash.Parse(string.Concat(hash.Text.AsSpan(0, 42), "1"))); // spare bits
        Refused.With("hash", () => Hash.Parse(hash.Standard));
        Refused.With("hash", () => Hash.ParseStandard(hash.Text));
        Refused.With("hash", () => Hash.ParseHex(Abc.ToUpperInvariant()));
        Refused.With("hash", () => Hash.ParseHex(Abc.AsSpan(0, 62)));
        Refused.With("hash", () => Hash.FromBytes(new byte[31]));
    }

    [Fact]
    public void Hashes_sort_as_their_texts_do()
    {
        var hashes = Enumerable.Range(0, 200).Select(i => Hash.Of(BitConverter.GetBytes(i))).ToList();
        Assert.Equal(hashes.Select(h => h.Text).Order(StringComparer.Ordinal), hashes.Order().Select(h => h.Text));
    }

    [Fact]
    public void A_slot_tag_is_the_hash_of_the_four_lines_the_format_names()
    {
        // computed here from the format's text, not by the code under test
        var lines = Encoding.UTF8.GetBytes("custody/slot/v1\nledger.example\nbat/0123456789ABCDEFGHJKMNPQR4\n12");
        Assert.Equal(SHA256.HashData(lines), SlotTag.Compute("ledger.example", "bat/0123456789ABCDEFGHJKMNPQR4", 12).ToArray());
    }

    [Fact]
    public void Two_places_cannot_share_a_slot_tag()
    {
        Assert.Throws<ArgumentException>(() => SlotTag.Compute("a\nb", "c", 1));
        Assert.Throws<ArgumentException>(() => SlotTag.Compute("a", "b\nc", 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => SlotTag.Compute("a", "b", 0));
    }

    [Fact]
    public void A_record_is_entry_hash_then_slot_tag()
    {
        var record = new LogRecord(Hash.Of("entry"u8), Hash.Of("slot"u8));
        Assert.Equal([.. record.Entry.ToArray(), .. record.Slot.ToArray()], record.ToArray());
        Assert.Equal(record, LogRecord.FromBytes(record.ToArray()));
        Refused.With("record.length", () => LogRecord.FromBytes(new byte[63]));
    }
}
