using System.Numerics;

namespace Custody.Transparency;

/// <summary>
/// The right edge of a growing tree: the roots of its complete subtrees, largest first, one for each bit set in the size. Appending a leaf and
/// taking the root each cost at most log2(size) hashes. Not safe for use by two threads at once.
/// </summary>
public sealed class Frontier
{
    readonly List<Hash> roots;

    /// <summary>The empty tree.</summary>
    public Frontier() => roots = [];

    /// <summary>A tree stored earlier.</summary>
    /// <param name="size">Leaves.</param>
    /// <param name="roots">As <see cref="Roots"/> gave them at this size.</param>
    /// <exception cref="ArgumentException">The number of roots does not belong to the size.</exception>
    public Frontier(long size, IEnumerable<Hash> roots)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(size);
        this.roots = [.. roots];
        Size = size;
        if (this.roots.Count != BitOperations.PopCount((ulong)size))
            throw new ArgumentException("A tree of this size has another number of complete subtrees.", nameof(roots));
    }

    /// <summary>The edge of a tree whose hashes are stored.</summary>
    public static Frontier Read(long size, HashReader read)
    {
        var roots = new List<Hash>();
        for (var level = 62; level >= 0; level--)
            if ((size >> level & 1) == 1) roots.Add(read(level, (size >> level) - 1));
        return new Frontier(size, roots);
    }

    /// <summary>Leaves so far.</summary>
    public long Size { get; private set; }

    /// <summary>Roots of the complete subtrees, largest first.</summary>
    public IReadOnlyList<Hash> Roots => roots;

    /// <summary>Appends a leaf by its hash.</summary>
    public void Append(Hash leaf)
    {
        var carried = leaf;
        // Each bit set at the low end is a complete subtree as large as the one in hand: together they make the next larger.
        for (var size = Size; (size & 1) == 1; size >>= 1)
        {
            carried = Merkle.Node(roots[^1], carried);
            roots.RemoveAt(roots.Count - 1);
        }
        roots.Add(carried);
        Size++;
    }

    /// <summary>Root of the tree so far (RFC 9162 section 2.1.1).</summary>
    public Hash Root()
    {
        if (roots.Count == 0) return Merkle.EmptyRoot;
        var root = roots[^1];
        for (var i = roots.Count - 2; i >= 0; i--) root = Merkle.Node(roots[i], root);
        return root;
    }
}
