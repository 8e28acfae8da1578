using System.Text;
using static Custody.Transparency.Tests.NoteKeys;

namespace Custody.Transparency.Tests;

public class TlogProofTests
{
    static (TlogProof Proof, Hash Leaf) Sample(long index = 5, int size = 8)
    {
        using var signer = Signer("ledger.example", 1);
        var tree = LeafList.Of(MerkleTests.Classic.Take(size));
        var point = new Checkpoint("ledger.example", size, Merkle.Root(size, tree.Read)).Sign(signer).ToArray();
        return (new TlogProof(index, Merkle.InclusionProof(index, size, tree.Read), point), tree.Read(0, index));
    }

    [Fact] // c2sp.org/tlog-proof, section "Format"
    public void A_proof_is_written_line_by_line_as_the_specification_says()
    {
        var (proof, leaf) = Sample();
        var expected = new StringBuilder("c2sp.org/tlog-proof@v1\nindex 5\n");
        foreach (var hash in proof.Proof) expected.Append(Convert.ToBase64String(hash.ToArray())).Append('\n');
        expected.Append('\n').Append(Encoding.UTF8.GetString(proof.Checkpoint.Span));
        Assert.Equal(expected.ToString(), Encoding.UTF8.GetString(proof.ToArray()));
        Assert.True(proof.Includes(leaf));
    }

    [Fact]
    public void A_proof_reads_back_with_and_without_extra_bytes()
    {
        var (proof, leaf) = Sample();
        var read = TlogProof.Parse(proof.ToArray());
        Assert.Equal(proof.ToArray(), read.ToArray());
        Assert.Null(read.Extra);
        Assert.True(read.Includes(leaf));
        var extra = TlogProof.Parse((proof with { Extra = "extra information"u8.ToArray() }).ToArray());
        Assert.Equal("extra information"u8, extra.Extra!.Value.Span);
        var (single, only) = Sample(0, 1);
        Assert.Empty(TlogProof.Parse(single.ToArray()).Proof);
        Assert.True(TlogProof.Parse(single.ToArray()).Includes(only));
    }

    [Fact]
    public void A_proof_with_one_thing_wrong_includes_nothing()
    {
        var (proof, leaf) = Sample();
        Assert.False(proof.Includes(Hash.Of("other"u8)));
        Assert.False((proof with { Index = 4 }).Includes(leaf));
        Assert.False((proof with { Index = 8 }).Includes(leaf));
        Assert.False((proof with { Proof = [.. proof.Proof.Skip(1)] }).Includes(leaf));
        Assert.False((proof with { Proof = [.. proof.Proof.Reverse()] }).Includes(leaf));
        Assert.False((proof with { Checkpoint = Sample(5, 7).Proof.Checkpoint }).Includes(leaf));
    }

    [Theory]
    [InlineData("proof", "tlog-proof@v1", "tlog-proof@v2")]
    [InlineData("proof", "index 5", "index 05")]
    [InlineData("proof", "index 5", "index -5")]
    [InlineData("proof", "index 5", "index five")]
    [InlineData("proof", "index 5", "Index 5")]
    [InlineData("proof", "index 5\n", "")]
    [InlineData("proof", "index 5\n", "extra !!\nindex 5\n")]
    [InlineData("proof", "index 5\n", "index 5\nextra AAAA\n")]
    [InlineData("proof", "index 5\n", "index 5\n!!\n")]
    [InlineData("proof", "index 5\n", "index 5\r\n")]
    [InlineData("checkpoint", "\n8\n", "\n08\n")]
    [InlineData("note.signature", "\u2014 ledger.example", "- ledger.example")]
    public void What_is_not_a_proof_is_refused(string code, string from, string to)
    {
        var text = Encoding.UTF8.GetString(Sample().Proof.ToArray());
        Assert.Contains(from, text, StringComparison.Ordinal);
        Refused.With(code, () => TlogProof.Parse(Encoding.UTF8.GetBytes(text.Replace(from, to, StringComparison.Ordinal))));
    }

    [Fact]
    public void A_proof_of_absurd_length_is_refused()
    {
        var (proof, _) = Sample();
        Refused.With("proof", () => TlogProof.Parse((proof with { Proof = [.. Enumerable.Repeat(proof.Proof[0], 127)] }).ToArray()));
        Refused.With("proof", () => TlogProof.Parse(new byte[100_000]));
    }
}
