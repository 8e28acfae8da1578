namespace Custody.Transparency.Tests;

public class MerkleTests
{
    /// <summary>Leaves of the tree that the reference code of Certificate Transparency (RFC 6962) tests itself with, in hexadecimal.</summary>
    internal static readonly byte[][] Classic =
        [.. new[] { "", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f" }.Select(Convert.FromHexString)];

    [Theory] // its published roots
    [InlineData(0, "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855")]
    [InlineData(1, "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d")]
    [InlineData(2, "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125")]
    [InlineData(3, "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77")]
    [InlineData(4, "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7")]
    [InlineData(5, "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4")]
    [InlineData(6, "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef")]
    [InlineData(7, "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c")]
    [InlineData(8, "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328")]
    public void The_classic_tree_has_its_published_roots(int size, string root)
    {
        Assert.Equal(root, Merkle.Root(size, LeafList.Of(Classic).Read).Hex);
        var frontier = new Frontier();
        foreach (var leaf in Classic.Take(size)) frontier.Append(Merkle.Leaf(leaf));
        Assert.Equal(root, frontier.Root().Hex);
        Assert.Equal(root, Convert.ToHexStringLower(ReferenceTree.Mth(Classic[..size])));
    }

    [Fact] // hasher values published in transparency-dev/merkle, rfc6962 tests
    public void Leaves_and_nodes_hash_with_their_prefixes()
    {
        Assert.StartsWith("395aa064", Merkle.Leaf("L123456"u8).Hex, StringComparison.Ordinal);
        Assert.EndsWith("4d56", Merkle.Leaf("L123456"u8).Hex, StringComparison.Ordinal);
        Assert.Equal(Convert.ToHexStringLower(ReferenceTree.Mth([[.. "L123456"u8]])), Merkle.Leaf("L123456"u8).Hex);
    }

    [Fact]
    public void All_proofs_of_the_classic_tree_equal_the_definition_and_verify() => AllProofs(Classic);

    [Fact]
    public void All_proofs_of_a_tree_of_70_leaves_equal_the_definition_and_verify() =>
        AllProofs([.. Enumerable.Range(0, 70).Select(i => new[] { (byte)i, (byte)(i * 7) })]);

    static void AllProofs(byte[][] data)
    {
        var tree = LeafList.Of(data);
        for (var size = 1; size <= data.Length; size++)
        {
            var root = Merkle.Root(size, tree.Read);
            for (var index = 0; index < size; index++)
            {
                var proof = Merkle.InclusionProof(index, size, tree.Read);
                Assert.Equal(ReferenceTree.Path(index, data[..size]), proof.Select(h => h.ToArray()));
                Assert.True(Merkle.VerifyInclusion(Merkle.Leaf(data[index]), index, size, proof, root));
            }
            for (var before = 1; before <= size; before++)
            {
                var proof = Merkle.ConsistencyProof(before, size, tree.Read);
                Assert.Equal(ReferenceTree.Proof(before, data[..size]), proof.Select(h => h.ToArray()));
                Assert.True(Merkle.VerifyConsistency(before, Merkle.Root(before, tree.Read), size, root, proof));
            }
        }
    }

    [Fact]
    public void The_frontier_gives_every_root_and_can_be_stored_between_leaves()
    {
        var data = Enumerable.Range(0, 300).Select(i => BitConverter.GetBytes(i)).ToArray();
        var tree = LeafList.Of(data);
        var frontier = new Frontier();
        for (var size = 1; size <= data.Length; size++)
        {
            frontier = new Frontier(frontier.Size, frontier.Roots);
            frontier.Append(Merkle.Leaf(data[size - 1]));
            Assert.Equal(size, frontier.Size);
            Assert.Equal(Merkle.Root(size, tree.Read), frontier.Root());
            Assert.Equal(frontier.Roots, Frontier.Read(size, tree.Read).Roots);
        }
        Assert.Throws<ArgumentException>(() => new Frontier(3, [Hash.Of([])]));
    }
}
