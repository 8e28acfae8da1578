using System.Numerics;

namespace Custody.Transparency;

/// <summary>
/// Gives the hash of a complete subtree: the 2^level leaves beginning at leaf index * 2^level. Never asked for one reaching past the tree size
/// in hand.
/// </summary>
public delegate Hash HashReader(int level, long index);

/// <summary>The Merkle tree of RFC 9162 section 2.1 over SHA-256. Sizes and indexes count leaves.</summary>
public static partial class Merkle
{
    /// <summary>Most hashes in any proof that is read: a tree of 2^63 leaves needs no more.</summary>
    public const int MaxProof = 126;

    /// <summary>Root of the empty tree: SHA-256 of nothing (section 2.1.1).</summary>
    public static Hash EmptyRoot { get; } = Hash.Of([]);

    /// <summary>Hash of a leaf: SHA-256(0x00 || data) (section 2.1.1).</summary>
    public static Hash Leaf(ReadOnlySpan<byte> data)
    {
        var length = data.Length + 1;
        var prefixed = length <= 256 ? stackalloc byte[length] : new byte[length];
        prefixed[0] = 0;
        data.CopyTo(prefixed[1..]);
        return Hash.Of(prefixed);
    }

    /// <summary>Hash of an inner node: SHA-256(0x01 || left || right) (section 2.1.1).</summary>
    public static Hash Node(Hash left, Hash right)
    {
        Span<byte> bytes = stackalloc byte[1 + (2 * Hash.Size)];
        bytes[0] = 1;
        left.CopyTo(bytes[1..]);
        right.CopyTo(bytes[(1 + Hash.Size)..]);
        return Hash.Of(bytes);
    }

    /// <summary>Root of the first <paramref name="size"/> leaves.</summary>
    public static Hash Root(long size, HashReader read)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(size);
        return size == 0 ? EmptyRoot : Subtree(0, size, read);
    }

    /// <summary>Inclusion proof PATH(index, D[size]) (section 2.1.3.1), from the leaf's sibling up.</summary>
    public static Hash[] InclusionProof(long index, long size, HashReader read)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(index);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(index, size);
        var proof = new List<Hash>();
        Path(index, 0, size, read, proof);
        return [.. proof];
    }

    static void Path(long index, long start, long end, HashReader read, List<Hash> proof)
    {
        if (end - start == 1) return;
        var middle = start + Split(end - start);
        if (index < middle)
        {
            Path(index, start, middle, read, proof);
            proof.Add(Subtree(middle, end, read));
        }
        else
        {
            Path(index, middle, end, read, proof);
            proof.Add(Subtree(start, middle, read));
        }
    }

    /// <summary>
    /// Consistency proof PROOF(size1, D[size2]) (section 2.1.4.1). The RFC defines it from size 1 on; from the empty tree it is empty here,
    /// because everything extends nothing.
    /// </summary>
    public static Hash[] ConsistencyProof(long size1, long size2, HashReader read)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(size1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(size1, size2);
        var proof = new List<Hash>();
        if (size1 > 0) Subproof(size1, 0, size2, complete: true, read, proof);
        return [.. proof];
    }

    // SUBPROOF(m, D[start:end], b) with m counted from the left end of the whole tree.
    static void Subproof(long m, long start, long end, bool complete, HashReader read, List<Hash> proof)
    {
        if (m == end)
        {
            if (!complete) proof.Add(Subtree(start, end, read));
            return;
        }
        var middle = start + Split(end - start);
        if (m <= middle)
        {
            Subproof(m, start, middle, complete, read, proof);
            proof.Add(Subtree(middle, end, read));
        }
        else
        {
            Subproof(m, middle, end, complete: false, read, proof);
            proof.Add(Subtree(start, middle, read));
        }
    }

    // MTH(D[start:end]). A stretch of 2^l leaves beginning at a multiple of 2^l is stored; any other splits into such.
    static Hash Subtree(long start, long end, HashReader read)
    {
        var size = end - start;
        if (BitOperations.IsPow2(size)) return read(BitOperations.Log2((ulong)size), start / size);
        var middle = start + Split(size);
        return Node(Subtree(start, middle, read), Subtree(middle, end, read));
    }

    // The largest power of two smaller than n (section 2.1.1), n > 1.
    static long Split(long n) => 1L << BitOperations.Log2((ulong)n - 1);
}
