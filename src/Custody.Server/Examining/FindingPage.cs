using System.Globalization;
using Custody.Bats;
using Custody.Evidence;
using Custody.Ledger;
using Custody.Server.Recording;
using Custody.Server.Web.Pages;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.Rendering;

namespace Custody.Server.Examining;

/// <summary>A page on which a finding is written down: its form is read here, once, for new findings and for revised ones.</summary>
public abstract class FindingPage(Recorder recorder, BenchDesk desk) : BenchPage(recorder, desk)
{
    [BindProperty]
    public FindingForm Finding { get; set; } = new();

    public static IEnumerable<SelectListItem> Kinds { get; } =
        [.. Enum.GetValues<FindingKind>().Select(k => new SelectListItem($"{Words.Of(FindingKinds.PartOf(k).ToString())}: {Words.Of(k.ToString())}", k.ToString()))];

    public static IEnumerable<SelectListItem> Units { get; } =
    [
        new("inches", "[in_i]"), new("ounces", "[oz_av]"), new("how many", "1"), new("millimetres", "mm"), new("centimetres", "cm"), new("grams", "g"), new("degrees", "deg"),
    ];

    public static IEnumerable<SelectListItem> Zones { get; } = [.. BatZone.All.Select(z => new SelectListItem(z.Name, z.Name))];

    /// <summary>Pictures recorded of this bat that may be looked at now.</summary>
    public IEnumerable<(PictureHash Hash, BatView View, long Entry)> Pictures => Case.Seen.Where(e => !e.IsVoid)
        .SelectMany(e => e.Fact is BatPhotographed taken ? taken.Pictures.Values.Select(p => (p.Released, p.View, e.N)) : []);

    public IEnumerable<SelectListItem> PictureChoices => Pictures.Select(p => new SelectListItem($"{Words.Of(p.View.ToString())}, entry {p.Entry}", p.Hash.Text));

    /// <summary>The finding as stated; null when something of it cannot be read, which then stands beside its field.</summary>
    protected FindingStated? Stated()
    {
        var (kind, presence) = (Word<FindingKind>(Finding.Kind, "Finding.Kind"), Word<Presence>(Finding.Presence, "Finding.Presence"));
        var (confidence, seenBy) = (Word<Confidence>(Finding.Confidence, "Finding.Confidence"), Word<SeenBy>(Finding.SeenBy, "Finding.SeenBy"));
        Needed(kind, "Finding.Kind", "Say what was found, or looked for.");
        Needed(presence, "Finding.Presence", "Say whether it was seen, is absent, or cannot be judged.");
        Needed(confidence, "Finding.Confidence", "Say how sure you are.");
        Needed(seenBy, "Finding.SeenBy", "Say by what means it was looked at.");
        var measure = Measure(Finding.Measure, Text(Finding.Unit) ?? "[in_i]", "Finding.Measure");
        var place = PlaceOf();
        foreach (var refusal in SurfacePlace.Refuse(place).Take(1)) Refuse("Finding.From", refusal.Sentence, refusal.Remedy);
        IReadOnlyList<PictureHash>? pictures = Text(Finding.Picture) is { } hash && Pictures.Any(p => p.Hash.Text == hash) ? [new PictureHash(hash)] : null;
        return ModelState.IsValid ? new FindingStated(kind!.Value, presence!.Value, confidence!.Value, seenBy!.Value, place, measure, pictures, Text(Finding.Text)) : null;
    }

    SurfacePlace? PlaceOf()
    {
        var (from, to) = (Measure(Finding.From, "[in_i]", "Finding.From"), Measure(Finding.To, "[in_i]", "Finding.To"));
        var (a, b) = (Measure(Finding.FromAngle, "deg", "Finding.FromAngle"), Measure(Finding.ToAngle, "deg", "Finding.ToAngle"));
        if (from is null && Text(Finding.Zone) is { } name && BatZone.All.FirstOrDefault(z => z.Name == name) is { } zone)
        {
            // A bat shorter than the zone's beginning keeps a zone of no length at its end.
            var end = zone.To ?? Math.Max(zone.From, (int)Math.Ceiling(new UnrolledMap(Case.Reading.Shape(), []).Length));
            return new(SurfaceShape.Band, SurfaceDatum.Brand, Inches(zone.From), Inches(end), null, null);
        }
        if (from is null) return null;
        // The form follows from what was given unless it is said.
        var shape = Word<SurfaceShape>(Finding.Shape, "Finding.Shape") ?? (b is not null ? SurfaceShape.Patch : to is not null ? SurfaceShape.Band : SurfaceShape.Point);
        return new(shape, SurfaceDatum.Brand, from, to, a, b);
    }

    static Quantity Inches(int inches) => Quantity.Parse(inches.ToString(CultureInfo.InvariantCulture), "[in_i]");
}
