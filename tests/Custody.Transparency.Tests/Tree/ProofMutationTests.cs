namespace Custody.Transparency.Tests;

/// <summary>Valid proofs with one thing wrong each: every one must be refused.</summary>
public class ProofMutationTests
{
    static readonly byte[][] Data = [.. Enumerable.Range(0, 21).Select(i => new[] { (byte)i })];
    static readonly LeafList Tree = LeafList.Of(Data);
    static readonly Hash Foreign = Hash.Of("foreign"u8);

    public static TheoryData<long, long> Inclusions =>
        new(from size in new long[] { 1, 2, 3, 7, 8, 13, 21 } from index in Enumerable.Range(0, (int)size) select ((long)index, size));

    public static TheoryData<long, long> Consistencies =>
        new(from size2 in new long[] { 2, 3, 7, 8, 13, 21 } from size1 in Enumerable.Range(1, (int)size2 - 1) select ((long)size1, size2));

    [Theory]
    [MemberData(nameof(Inclusions))]
    public void An_inclusion_proof_with_one_thing_wrong_is_refused(long index, long size)
    {
        var leaf = Tree.Read(0, index);
        var proof = Merkle.InclusionProof(index, size, Tree.Read);
        var root = Merkle.Root(size, Tree.Read);
        Assert.True(Merkle.VerifyInclusion(leaf, index, size, proof, root));

        Assert.False(Merkle.VerifyInclusion(Foreign, index, size, proof, root));
        Assert.False(Merkle.VerifyInclusion(leaf, index, size, proof, Foreign));
        Assert.False(Merkle.VerifyInclusion(leaf, -1, size, proof, root));
        Assert.False(Merkle.VerifyInclusion(leaf, size, size, proof, root));
        Assert.False(Merkle.VerifyInclusion(leaf, index, 0, proof, root));
        foreach (var other in Enumerable.Range(0, (int)size).Where(i => i != index))
            Assert.False(Merkle.VerifyInclusion(leaf, other, size, proof, root));
        Assert.All(Changed(proof), wrong => Assert.False(Merkle.VerifyInclusion(leaf, index, size, wrong, root)));
    }

    [Theory]
    [MemberData(nameof(Consistencies))]
    public void A_consistency_proof_with_one_thing_wrong_is_refused(long size1, long size2)
    {
        var (root1, root2) = (Merkle.Root(size1, Tree.Read), Merkle.Root(size2, Tree.Read));
        var proof = Merkle.ConsistencyProof(size1, size2, Tree.Read);
        Assert.True(Merkle.VerifyConsistency(size1, root1, size2, root2, proof));

        Assert.False(Merkle.VerifyConsistency(size1, Foreign, size2, root2, proof));
        Assert.False(Merkle.VerifyConsistency(size1, root1, size2, Foreign, proof));
        Assert.False(Merkle.VerifyConsistency(size1, root2, size2, root1, proof));
        Assert.False(Merkle.VerifyConsistency(size2, root1, size1, root2, proof));
        Assert.False(Merkle.VerifyConsistency(-1, root1, size2, root2, proof));
        Assert.False(Merkle.VerifyConsistency(size1, root1, size1, root2, proof));
        Assert.False(Merkle.VerifyConsistency(size2, root1, size2, root2, proof));
        Assert.All(Changed(proof), wrong => Assert.False(Merkle.VerifyConsistency(size1, root1, size2, root2, wrong)));
    }

    static IEnumerable<Hash[]> Changed(Hash[] proof)
    {
        for (var i = 0; i < proof.Length; i++)
        {
            yield return [.. proof[..i], Foreign, .. proof[(i + 1)..]]; // one hash replaced
            yield return [.. proof[..i], .. proof[(i + 1)..]]; // one left out
            yield return [.. proof[..i], proof[i], proof[i], .. proof[(i + 1)..]]; // one doubled
            if (i > 0 && proof[i] != proof[i - 1]) yield return [.. proof[..(i - 1)], proof[i], proof[i - 1], .. proof[(i + 1)..]]; // two swapped
        }
        yield return [Foreign, .. proof]; // one too many, in front and behind
        yield return [.. proof, Foreign];
    }

    [Fact]
    public void From_the_empty_tree_only_an_empty_proof_will_do()
    {
        var root = Merkle.Root(8, Tree.Read);
        Assert.Empty(Merkle.ConsistencyProof(0, 8, Tree.Read));
        Assert.True(Merkle.VerifyConsistency(0, Merkle.EmptyRoot, 8, root, []));
        Assert.True(Merkle.VerifyConsistency(0, Merkle.EmptyRoot, 0, Merkle.EmptyRoot, []));
        Assert.False(Merkle.VerifyConsistency(0, Merkle.EmptyRoot, 8, root, [root]));
        Assert.False(Merkle.VerifyConsistency(0, Foreign, 8, root, []));
        Assert.False(Merkle.VerifyConsistency(0, Foreign, 0, Foreign, []));
        Assert.False(Merkle.VerifyConsistency(0, Merkle.EmptyRoot, 0, Merkle.EmptyRoot, [root]));
    }

    [Fact]
    public void Between_equal_sizes_only_equal_roots_and_an_empty_proof_will_do()
    {
        var root = Merkle.Root(5, Tree.Read);
        Assert.True(Merkle.VerifyConsistency(5, root, 5, root, []));
        Assert.False(Merkle.VerifyConsistency(5, root, 5, Foreign, []));
        Assert.False(Merkle.VerifyConsistency(5, root, 5, root, [root]));
    }
}
