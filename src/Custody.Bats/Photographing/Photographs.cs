using System.Collections.Immutable;

namespace Custody.Bats;

/// <summary>One picture as decisions and read models know it.</summary>
public sealed record Pictured(PictureHash Released, BatView View);

/// <summary>The pictures of one <c>BatPhotographed</c>.</summary>
public sealed record PhotographsTaken(Alias? Photographer, ImmutableList<Pictured> Pictures);

/// <summary>Photographs recorded of this bat, by the number of their <c>BatPhotographed</c>.</summary>
public sealed record Photographs
{
    public ImmutableSortedDictionary<long, PhotographsTaken> ByEntry { get; init; } = ImmutableSortedDictionary<long, PhotographsTaken>.Empty;

    /// <summary>Number of the entry that recorded this picture, or null; entries that are void are passed over.</summary>
    public long? Recording(PictureHash picture, Corrections corrections)
    {
        foreach (var (n, taken) in ByEntry)
            if (!corrections.IsVoid(n) && taken.Pictures.Any(p => p.Released == picture)) return n;
        return null;
    }
}
