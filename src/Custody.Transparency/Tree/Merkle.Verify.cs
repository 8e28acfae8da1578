using System.Numerics;

namespace Custody.Transparency;

/// <summary>The verifying half; each step carries the number it has in the RFC.</summary>
public static partial class Merkle
{
    /// <summary>Verifies an inclusion proof (section 2.1.3.2).</summary>
    /// <param name="leaf">Hash of the leaf.</param>
    /// <param name="index">Its index.</param>
    /// <param name="size">Size of the tree.</param>
    /// <param name="proof">Hashes from the leaf's sibling up.</param>
    /// <param name="root">Root of the tree.</param>
    public static bool VerifyInclusion(Hash leaf, long index, long size, IReadOnlyList<Hash> proof, Hash root)
    {
        if (index < 0 || index >= size) return false; // step 1
        var (fn, sn, r) = (index, size - 1, leaf); // steps 2 and 3
        foreach (var p in proof) // step 4
        {
            if (sn == 0) return false;
            if ((fn & 1) == 1 || fn == sn)
            {
                r = Node(p, r);
                while ((fn & 1) == 0 && fn != 0) (fn, sn) = (fn >> 1, sn >> 1);
            }
            else
            {
                r = Node(r, p);
            }
            (fn, sn) = (fn >> 1, sn >> 1);
        }
        return sn == 0 && r == root; // step 5
    }

    /// <summary>
    /// Verifies a consistency proof (section 2.1.4.2). Two sizes that are equal, and a first size of 0, take only an empty proof; from size 0
    /// the first root must be the empty tree's.
    /// </summary>
    public static bool VerifyConsistency(long size1, Hash root1, long size2, Hash root2, IReadOnlyList<Hash> proof)
    {
        if (size1 < 0 || size1 > size2) return false;
        if (size1 == size2) return proof.Count == 0 && root1 == root2 && (size1 > 0 || root1 == EmptyRoot);
        if (size1 == 0) return proof.Count == 0 && root1 == EmptyRoot;
        if (proof.Count == 0) return false; // step 1
        var roots = BitOperations.IsPow2(size1) ? Climb(size1, size2, root1, proof, 0) : Climb(size1, size2, proof[0], proof, 1); // step 2
        return roots == (root1, root2); // step 7
    }

    /// <summary>
    /// The root that the first <paramref name="size1"/> leaves of a tree have, as a consistency proof shows it (section 2.1.4.2): whoever made the proof knew
    /// that tree, or found a collision of the hash.
    /// </summary>
    /// <returns>Null when the proof is none of this tree; also when <paramref name="size1"/> is a power of two, because the proof then leaves that root out.</returns>
    public static Hash? EarlierRoot(long size1, long size2, Hash root2, IReadOnlyList<Hash> proof)
    {
        if (size1 <= 0 || size1 >= size2 || BitOperations.IsPow2(size1) || proof.Count == 0) return null;
        return Climb(size1, size2, proof[0], proof, 1) is { } roots && roots.Second == root2 ? roots.First : null;
    }

    /// <summary>Both roots that a proof leads to; null when it is too short or too long.</summary>
    static (Hash First, Hash Second)? Climb(long size1, long size2, Hash first, IReadOnlyList<Hash> proof, int from)
    {
        var (fn, sn) = (size1 - 1, size2 - 1); // step 3
        while ((fn & 1) == 1) (fn, sn) = (fn >> 1, sn >> 1); // step 4
        var (fr, sr) = (first, first); // step 5
        for (var i = from; i < proof.Count; i++) // step 6
        {
            var c = proof[i];
            if (sn == 0) return null;
            if ((fn & 1) == 1 || fn == sn)
            {
                (fr, sr) = (Node(c, fr), Node(c, sr));
                while ((fn & 1) == 0 && fn != 0) (fn, sn) = (fn >> 1, sn >> 1);
            }
            else
            {
                sr = Node(sr, c);
            }
            (fn, sn) = (fn >> 1, sn >> 1);
        }
        return sn == 0 ? (fr, sr) : null;
    }
}
