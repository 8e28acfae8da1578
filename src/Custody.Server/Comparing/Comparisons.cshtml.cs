using System.Globalization;
using Custody.Bats;
using Custody.Evidence;
using Custody.Ledger;
using Custody.Server.Accounts;
using Custody.Server.Citing;
using Custody.Server.Examining;
using Custody.Server.Readings;
using Custody.Server.Recording;
using Custody.Server.Web.Pages;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.Rendering;

namespace Custody.Server.Comparing;

/// <summary>Comparisons of archive pictures with the bat; one more is opened, its limits fixed before anything is marked.</summary>
[MayUse(AccountRole.Examiner)]
public sealed class ComparisonsModel(Recorder recorder, BenchDesk bench) : BatActPage(recorder, bench)
{
    [BindProperty]
    public ComparisonForm Opening { get; set; } = new();

    public long? Blind { get; private set; }

    public BatComparisons Comparisons { get; private set; } = null!;

    /// <summary>Sources with a picture, as entry.</summary>
    public IEnumerable<SelectListItem> Archive => CitedSources.Choices(Reading, s => s.Picture is not null);

    /// <summary>Pictures of the bat, as entry and hash.</summary>
    public IEnumerable<SelectListItem> OfBat => Reading.State.Photographs.ByEntry.Where(p => !Reading.State.Corrections.IsVoid(p.Key))
        .SelectMany(p => p.Value.Pictures.Select(x => new SelectListItem($"entry {p.Key}: {Words.Of(x.View.ToString())}", string.Create(CultureInfo.InvariantCulture, $"{p.Key} {x.Released.Text}"))));

    public async Task<IActionResult> OnPostAsync()
    {
        if (!await Load() || Blind is not null) return NotFound();
        var by = Acting();
        var source = Whole(Opening.Source);
        var archive = source is { } n ? Reading.State.Sources.ByEntry.GetValueOrDefault(n)?.Picture : null;
        if (archive is null) Refuse("Opening.Source", "Choose the source that is the archive picture.", "");
        var chosen = Text(Opening.Picture)?.Split(' ');
        if (chosen is not { Length: 2 } || Whole(chosen[0]) is null) Refuse("Opening.Picture", "Choose the picture of the bat.", "");
        var (tolerance, pose) = (Measure(Opening.Tolerance, "1", "Opening.Tolerance"), Measure(Opening.Pose, "1", "Opening.Pose"));
        var (from, to) = (Measure(Opening.From, "[in_i]", "Opening.From"), Measure(Opening.To, "[in_i]", "Opening.To"));
        var (a, b) = (Measure(Opening.FromAngle, "deg", "Opening.FromAngle"), Measure(Opening.ToAngle, "deg", "Opening.ToAngle"));
        foreach (var (value, field) in new[] { (tolerance, "Tolerance"), (pose, "Pose"), (from, "From"), (to, "To"), (a, "FromAngle"), (b, "ToAngle") })
            Needed(value, "Opening." + field, "Say it before anything is marked.");
        int?[] frame = [(int?)Whole(Opening.X), (int?)Whole(Opening.Y), (int?)Whole(Opening.Width), (int?)Whole(Opening.Height)];
        if (frame.Contains(null)) Refuse("Opening.Width", "The frame in the archive picture is not whole.", "Give its corner, width and height in pixels.");
        if (by is null || !ModelState.IsValid) return Page();
        var recorded = await Record(Stream, new OpenPictureComparison(
            source!.Value, archive!.Value, Whole(chosen![0])!.Value, new PictureHash(chosen[1]), tolerance!, pose!,
            pose!.InBase().CompareTo(DecimalText.Of(1, 0)) < 0 ? PoseGround.CameraAngleKnown : PoseGround.AllPosesAllowed,
            new SurfacePlace(SurfaceShape.Patch, SurfaceDatum.Brand, from!, to, a, b), new PictureFrame(frame[0]!.Value, frame[1]!.Value, frame[2]!.Value, frame[3]!.Value), Text(Opening.Justification))
        { By = by });
        return recorded is null ? Page() : Done("The comparison is open. The archive picture is marked first.", $"/bats/{Number}/comparisons/{recorded.Entries[0].N}");
    }

    protected override string FieldOf(string code) => code switch
    {
        "no-such-picture" => "Opening.Picture",
        "fraction-out-of-range" => "Opening.Tolerance",
        "pose-not-justified" => "Opening.Pose",
        "frame-empty" => "Opening.Width",
        "region-no-patch" or "place-off-the-bat" or "place-incomplete" => "Opening.From",
        "region-too-wide" => "Opening.ToAngle",
        _ => "",
    };

    static long? Whole(string? said) => Typed.Whole(said) is { } n and <= int.MaxValue ? n : null;

    protected override async Task<bool> Load()
    {
        if (!await base.Load()) return false;
        Comparisons = Reading.Comparisons();
        Blind = await Bench.BlindTo(Reading, Stage.Sources, Viewer.Party, HttpContext.RequestAborted);
        return true;
    }
}
