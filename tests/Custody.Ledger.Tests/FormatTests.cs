using System.Text;
using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger.Tests;

/// <summary>The format itself, event type by event type.</summary>
public class FormatTests
{
    [Fact]
    public void Every_event_type_lists_its_fields_open_or_withheld() => Approved.Equal(FieldTable.Text, "FieldTable");

    [Fact]
    public void No_text_stands_open_without_a_reason() =>
        Assert.Empty(FieldTable.Rows.Where(r => !r.Withheld && r.Words is "text" or "list of text").Select(r => $"{r.Type}/{r.Path}"));

    [Fact]
    public void One_entry_of_every_event_type_keeps_its_bytes()
    {
        StringBuilder lines = new();
        foreach (var type in Shapes.Names)
        {
            var samples = Samples.For(type);
            lines.Append(Encoding.UTF8.GetString(EntryCodec.Write(samples.Envelope(), samples.Fact(type, full: true), samples.Fill).Bytes)).Append('\n');
        }
        Approved.Equal(lines.ToString(), "Entries");
    }

    [Fact]
    public void A_second_writer_of_the_format_agrees_on_10000_random_entries()
    {
        for (ulong i = 0; i < 10_000; i++)
        {
            var samples = new Samples(i);
            var (at, fact) = (samples.Envelope(), samples.Fact(Shapes.Names[(int)(i % (ulong)Shapes.Names.Count)], samples.Chance(4)));
            var ours = EntryCodec.Write(at, fact, new Samples(i).Fill).Bytes;
            var theirs = new SecondWriter(new Samples(i).Fill).Write(at, fact);
            if (!ours.AsSpan().SequenceEqual(theirs))
                Assert.Fail($"{i} {fact.TypeName}:\n{Encoding.UTF8.GetString(ours)}\n{Encoding.UTF8.GetString(theirs)}");
        }
    }

    [Fact]
    public void What_is_written_reads_back_and_writes_the_same_again_with_everything_shown()
    {
        for (ulong i = 0; i < 2_000; i++)
        {
            var samples = new Samples(i);
            var (at, fact) = (samples.Envelope(), samples.Fact(Shapes.Names[(int)(i % (ulong)Shapes.Names.Count)], samples.Chance(4)));
            var first = EntryCodec.Write(at, fact, new Samples(i).Fill);
            var read = EntryCodec.Read(first.Bytes, first.Withheld.Select(w => w.Disclosure));
            Assert.Equal(first.Bytes, EntryCodec.Write(read.Envelope, read.Fact, new Samples(i).Fill).Bytes);
        }
    }

    [Fact]
    public void An_entry_has_as_many_digests_when_nothing_is_said_as_when_everything_is()
    {
        foreach (var type in Shapes.Names)
        {
            var samples = Samples.For(type);
            var full = EntryCodec.Write(samples.Envelope(), samples.Fact(type, full: true), samples.Fill);
            var silent = EntryCodec.Read(full.Bytes); // every withheld value gone
            var again = EntryCodec.Write(silent.Envelope, silent.Fact, samples.Fill);
            Assert.Empty(again.Withheld);
            Assert.Equal(Digests(full.Bytes), Digests(again.Bytes));
        }
    }

    [Fact]
    public void Digests_out_of_order_or_twice_are_refused_even_of_an_event_type_nobody_knows()
    {
        var samples = Samples.For("BatReleased");
        var entry = Encoding.UTF8.GetString(EntryCodec.Write(samples.Envelope(), samples.Fact("BatReleased", full: false), samples.Fill).Bytes)
            .Replace("BatReleased", "BatReleased.9", StringComparison.Ordinal);
        Assert.Equal("BatReleased.9", EntryForm.Read(Encoding.UTF8.GetBytes(entry)).Type);
        var first = entry.IndexOf("_sd\":[", StringComparison.Ordinal) + 6;
        var (one, two) = (entry.Substring(first, 45), entry.Substring(first + 46, 45));
        foreach (var wrong in new[] { $"{two},{one}", $"{one},{one}" })
        {
            var forged = entry.Replace($"{one},{two}", wrong, StringComparison.Ordinal);
            Assert.Equal("entry.digests", Assert.Throws<Malformed>(() => EntryForm.Read(Encoding.UTF8.GetBytes(forged))).Code);
        }
    }

    static IEnumerable<string> Digests(byte[] entry) =>
        EntryCodec.Open(EntryForm.Read(entry)).Digests.Select(d => d.Pointer);
}
