using System.Globalization;
using Custody.Bats;
using Custody.Evidence;
using Custody.Ledger;
using Custody.Server.Examining;
using Custody.Server.Web.Pages;

namespace Custody.Server.Sheets;

/// <summary>How the timeline is read.</summary>
public enum TimelineOrder
{
    /// <summary>In the order and the words in which it was recorded.</summary>
    Recorded,

    /// <summary>In the order of recording, as corrected since.</summary>
    Corrected,

    /// <summary>In the order in which things are said to have happened, as corrected.</summary>
    Occurred,
}

/// <summary>One line of the timeline.</summary>
/// <param name="Proof">Null while the entry waits for its place in the log.</param>
public sealed record TimelineLine(ToldEntry Told, ProofState? Proof)
{
    const int LongestField = 60, Fields = 3;

    /// <summary>The first short things it says.</summary>
    public string Brief => string.Join("; ", Told.Said.Where(s => s.Value.Length <= LongestField && s.Name != "named here for the first time").Take(Fields).Select(s => $"{s.Name} {s.Value}"));
}

/// <summary>A picture of the bat.</summary>
/// <param name="Shows">What it shows, in words.</param>
public sealed record PictureOnSheet(string Hash, string Shows, long Entry);

/// <summary>Findings of one examination on the unrolled bat.</summary>
public sealed record SurfaceView(IReadOnlyList<ExaminationRead> Examinations, ExaminationRead Shown, UnrolledMap Map, LayersOfExamination? Layers);

/// <summary>Everything the page of one bat shows, read once.</summary>
/// <param name="Details">Entries of which everything is said; of the others only the first short things are, so that a long history stays a small page.</param>
public sealed record SheetView(
    BatSheet Sheet, Reading Reading, IReadOnlyList<TimelineLine> Timeline, TimelineOrder Order, DetailShown Details, HoldingChain Title, HoldingChain Custody,
    Lanes TitleDrawn, Lanes CustodyDrawn, OpinionHistory Opinions, LotHistory Lots, BatSeasons Seasons, SurfaceView? Surface,
    IReadOnlyList<PictureOnSheet> Pictures, OpenWork Work)
{
    internal static SheetView Of(
        History history, Reading reading, TimelineOrder order, DetailShown details, long? examined, IReadOnlyDictionary<long, ProofState> proofs, OpenWork work, DateOnly today)
    {
        var (title, custody) = (reading.TitleChain(), reading.CustodyChain());
        var told = order switch
        {
            TimelineOrder.Recorded => ToldHistory.AsRecorded([.. history.Entries.Take(reading.Entries.Count)]),
            TimelineOrder.Corrected => [.. ToldHistory.EntriesOf(reading).OrderBy(e => e.Line)],
            _ => ToldHistory.EntriesOf(reading),
        };
        return new SheetView(
            reading.Sheet(), reading, [.. told.Select(t => new TimelineLine(t, proofs.GetValueOrDefault(t.Line)))], order, details, title, custody,
            ChainDrawing.Of(title, today, Holders), ChainDrawing.Of(custody, today, Holders), reading.Opinions(), reading.Lots(), reading.Seasons(),
            SurfaceOf(reading, examined), [.. PicturesOf(reading)], work);
    }

    /// <summary>Who holds, in words.</summary>
    public static string Holders(HoldingLink link) =>
        link.State == LinkState.InTransit ? "in transit"
        : link.Holders.Count == 0 ? "not known"
        : string.Join(", ", link.Holders.Select(h => Person(h.Who) + (h.Share is { } s && s != Fraction.Whole ? $" {s.Parts}/{s.Of}" : "")));

    /// <summary>Somebody by name; by what they are to the bat where the name is not shown.</summary>
    public static string Person(Who? who) => who is null ? "not said" : who.Name ?? $"{Words.Of(who.Role.ToString())} {who.Alias}";

    static SurfaceView? SurfaceOf(Reading reading, long? examined)
    {
        List<ExaminationRead> looked = [.. reading.Condition().Examinations.Where(e => e.Findings.Count > 0)];
        if (looked.Count == 0) return null;
        var shown = looked.Find(e => e.Entry == examined) ?? looked[^1];
        var drawn = shown.Findings.Where(f => IsDrawn(f)).Select(f => (f.Key, f.Kind, f.Presence, f.Place));
        return new SurfaceView(looked, shown, FindingLines.Map(reading, drawn), reading.Layers().Examinations.FirstOrDefault(l => l.Examination == shown.Entry));
    }

    /// <summary>Whether a finding has its place on the map. Angles of the map are counted from the brand: one counted from another mark would stand at the wrong place.</summary>
    public static bool IsDrawn(FindingRead finding) =>
        finding is { Presence: Presence.Seen, Place: { } place } && (place.Shape == SurfaceShape.Band || place.Datum == SurfaceDatum.Brand);

    static IEnumerable<PictureOnSheet> PicturesOf(Reading reading) => reading.Entries.Where(e => !e.IsVoid).SelectMany(e => e.Fact switch
    {
        BatPhotographed taken => taken.Pictures.Values.Select(p => new PictureOnSheet(
            p.Released.Text, Words.Of(p.View.ToString()) + (p.Lighting is Lighting.Ordinary or Lighting.NotStated ? "" : $", {Words.Of(p.Lighting.ToString())}"), e.N)),
        BaselineRecorded baseline => baseline.Views.Select(v => new PictureOnSheet(v.Picture.Text, $"{Words.Of(v.View.ToString())}, baseline", e.N)),
        _ => [],
    }).DistinctBy(p => p.Hash);

    /// <summary>A number of an SVG attribute.</summary>
    public static string N(double number) => number.ToString("0.#", CultureInfo.InvariantCulture);
}

/// <summary>Of which entries everything is said.</summary>
/// <param name="All">As a history statement does.</param>
/// <param name="One">This one, because it was asked for.</param>
/// <param name="Folded">Each behind a line to open, where there are few.</param>
public sealed record DetailShown(bool All, long? One, bool Folded)
{
    public bool Shows(long n) => All || Folded || n == One;
}
