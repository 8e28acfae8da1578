using System.Globalization;
using Custody.Transparency;

namespace Custody.Server.Auditing;

/// <summary>Rebuilds the tree from the leaf table and holds it against every checkpoint ever signed and every tile on disk. Wants the leaves in order.</summary>
sealed class TreeAudit(string folder, SignedCheckpoints checkpoints, Findings findings)
{
    readonly Frontier frontier = new();
    readonly TilesOnDisk tiles = new(folder, findings);

    public long Size => frontier.Size;

    public Hash Root => frontier.Root();

    public void Take(LeafRow leaf)
    {
        // A row that is missing is taken from the tiles, so that one missing row is one finding and not a fault of everything after it.
        while (frontier.Size < leaf.Index)
        {
            findings.Fault("leaf-missing", string.Create(CultureInfo.InvariantCulture, $"custody_leaf index {frontier.Size}"), "the row is missing.");
            if (tiles.Record(frontier.Size) is not { } record) break;
            Append(record);
        }
        if (frontier.Size > leaf.Index) findings.Fault("leaf-twice", leaf.Where, "another row has this index.");
        if (frontier.Size != leaf.Index) return;
        if (tiles.Record(leaf.Index) is { } published && published != leaf.Record)
            findings.Fault("leaf-other", leaf.Where, "the published record at this index is another.");
        Append(leaf.Record);
    }

    void Append(LogRecord record)
    {
        frontier.Append(record.Leaf());
        tiles.Append(record);
        checkpoints.At(frontier.Size, frontier.Root, tiles);
    }

    /// <summary>After the last leaf: what was signed beyond it, and what is left on disk.</summary>
    public void End()
    {
        tiles.End();
        checkpoints.End(frontier.Size);
    }
}
