using System.Collections.Immutable;
using Custody.Evidence;

namespace Custody.Bats;

/// <summary>One source, by the number of its <c>SourceCited</c>.</summary>
/// <param name="CopyOf">Number of the source it is a copy of.</param>
/// <param name="SameOccasion">Number of a source that shows the same occasion.</param>
/// <param name="Withdrawn">Number of the entry that withdrew it.</param>
public sealed record Source(
    SourceKind Kind, SourceStanding Standing, PlayShown Play, Edtf? When, long? CopyOf, long? SameOccasion, ImmutableList<FindingKind> Shows,
    PictureHash? Picture, long? Withdrawn);

/// <summary>Sources cited for this bat.</summary>
public sealed record Sources
{
    public ImmutableSortedDictionary<long, Source> ByEntry { get; init; } = ImmutableSortedDictionary<long, Source>.Empty;

    /// <summary>The refusal when a source is not there, is void, or was withdrawn.</summary>
    internal static Refusal? Refuse(Bat bat, IEnumerable<long> sources)
    {
        var given = sources.ToList();
        return Grounds.Refuse(bat, bat.Sources.ByEntry, given, "source")
            ?? (given.Any(n => bat.Corrections.Stands(bat.Sources.ByEntry[n].Withdrawn))
                ? new("source-withdrawn", "One of these sources was withdrawn.", "Leave it out.") : null);
    }
}
