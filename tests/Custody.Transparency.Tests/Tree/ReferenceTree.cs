using System.Security.Cryptography;

namespace Custody.Transparency.Tests;

/// <summary>
/// RFC 9162 sections 2.1.1, 2.1.3.1 and 2.1.4.1 written down as the definitions stand there, over lists of leaves, sharing nothing with the
/// code under test. Slow on purpose.
/// </summary>
static class ReferenceTree
{
    internal static byte[] Mth(byte[][] d)
    {
        if (d.Length == 0) return SHA256.HashData([]);
        if (d.Length == 1) return SHA256.HashData([0, .. d[0]]);
        var k = K(d.Length);
        return SHA256.HashData([1, .. Mth(d[..k]), .. Mth(d[k..])]);
    }

    internal static byte[][] Path(int m, byte[][] d)
    {
        if (d.Length == 1) return [];
        var k = K(d.Length);
        return m < k
            ? [.. Path(m, d[..k]), Mth(d[k..])]
            : [.. Path(m - k, d[k..]), Mth(d[..k])];
    }

    internal static byte[][] Proof(int m, byte[][] d) => Subproof(m, d, true);

    static byte[][] Subproof(int m, byte[][] d, bool b)
    {
        if (m == d.Length) return b ? [] : [Mth(d)];
        var k = K(d.Length);
        return m <= k
            ? [.. Subproof(m, d[..k], b), Mth(d[k..])]
            : [.. Subproof(m - k, d[k..], false), Mth(d[..k])];
    }

    static int K(int n)
    {
        var k = 1;
        while (k * 2 < n) k *= 2;
        return k;
    }
}

/// <summary>A tree kept as its leaf hashes, answering for any complete subtree.</summary>
sealed class LeafList(IReadOnlyList<Hash> leaves)
{
    internal static LeafList Of(IEnumerable<byte[]> data) => new([.. data.Select(d => Merkle.Leaf(d))]);

    internal Hash Read(int level, long index)
    {
        Assert.InRange((index + 1) << level, 1, leaves.Count);
        return level == 0 ? leaves[(int)index] : Merkle.Node(Read(level - 1, index * 2), Read(level - 1, (index * 2) + 1));
    }
}
