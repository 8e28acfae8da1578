using System.Globalization;
using Custody.Bats;
using Microsoft.AspNetCore.Mvc.Rendering;

namespace Custody.Server.Citing;

/// <summary>Sources cited on a bat, to choose from.</summary>
static class CitedSources
{
    /// <summary>Those that are neither void nor withdrawn.</summary>
    public static IEnumerable<(long Entry, Source State)> Standing(Reading reading) => reading.State.Sources.ByEntry
        .Where(s => !reading.State.Corrections.IsVoid(s.Key) && !reading.State.Corrections.Stands(s.Value.Withdrawn)).Select(s => (s.Key, s.Value));

    /// <summary>A source's title; what kind of thing it is where the title is not shown.</summary>
    public static string NameOf(Reading reading, long entry) =>
        ((SourceCited)reading.Entries[(int)entry - 1].Fact).Title?.Value ?? Custody.Ledger.Words.Of(reading.State.Sources.ByEntry[entry].Kind.ToString());

    /// <summary>As choices of a field, by entry.</summary>
    public static IEnumerable<SelectListItem> Choices(Reading reading, Func<Source, bool>? which = null) => Standing(reading).Where(s => which?.Invoke(s.State) != false)
        .Select(s => new SelectListItem($"entry {s.Entry}: {NameOf(reading, s.Entry)}", s.Entry.ToString(CultureInfo.InvariantCulture)));
}
