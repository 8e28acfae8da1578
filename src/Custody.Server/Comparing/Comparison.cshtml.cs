using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Accounts;
using Custody.Server.Examining;
using Custody.Server.Recording;
using Custody.Server.Web.Pages;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.Comparing;

/// <summary>What of a comparison comes next.</summary>
public enum ComparisonTurn
{
    MarkArchive,
    MarkBat,
    Pair,
    Compared,
}

/// <summary>One comparison: the archive picture marked and locked, then the bat's by somebody who has not seen it, then pairs and what they give.</summary>
[MayUse(AccountRole.Examiner)]
public sealed class ComparisonModel(Recorder recorder, BenchDesk bench) : ActPage(recorder)
{
    [FromRoute]
    public string Number { get; set; } = "";

    [FromRoute]
    public long N { get; set; }

    [BindProperty]
    public string? Marks { get; set; }

    [BindProperty]
    public string? Sight { get; set; }

    [BindProperty]
    public string? Pairs { get; set; }

    [BindProperty]
    public string? Fit { get; set; } = nameof(PictureFit.Similarity);

    [BindProperty]
    public string? Tried { get; set; } = "1";

    public Reading Reading { get; private set; } = null!;

    public ComparisonRead Comparison { get; private set; } = null!;

    public PictureComparisonOpened Opened => (PictureComparisonOpened)Reading.Entries[(int)N - 1].Fact;

    public ComparisonTurn Turn => Comparison switch
    {
        { Recorded: not null } => ComparisonTurn.Compared,
        { OnBat: not null } => ComparisonTurn.Pair,
        { OnArchive: not null } => ComparisonTurn.MarkBat,
        _ => ComparisonTurn.MarkArchive,
    };

    /// <summary>Whoever marks the second picture marked the first.</summary>
    public bool SamePerson { get; private set; }

    /// <summary>As recorded, or as tried from the pairs typed.</summary>
    public PictureResult? Result { get; private set; }

    public async Task<IActionResult> OnGetAsync()
    {
        if (!await Load()) return NotFound();
        Seen = Reading.State.N;
        return Page();
    }

    public async Task<IActionResult> OnPostMarkAsync()
    {
        if (!await Load() || Turn is not (ComparisonTurn.MarkArchive or ComparisonTurn.MarkBat)) return NotFound();
        var by = Acting();
        var (marks, line) = MarkLines.Marks(Marks);
        if (marks is null) Refuse("Marks", $"Line {line} is no mark.", "Write what it is and its pixels: knot 120 340.");
        // The archive picture is marked before the bat's is shown.
        var sight = Turn == ComparisonTurn.MarkBat && (SamePerson || Sight == nameof(MarkerSight.OtherSeen)) ? MarkerSight.OtherSeen : MarkerSight.OtherNotSeen;
        if (by is null || !ModelState.IsValid) return Page();
        return await Record(Stream, new LockFeatures(N, Turn == ComparisonTurn.MarkArchive ? ComparedPicture.Archive : ComparedPicture.Bat, by, sight, marks!) { By = by }) is null
            ? Page() : Done("The marks are locked.", Address);
    }

    /// <param name="act">try or record.</param>
    public async Task<IActionResult> OnPostPairAsync(string? act)
    {
        if (!await Load() || Turn != ComparisonTurn.Pair) return NotFound();
        var by = Acting();
        var (pairs, line) = MarkLines.Pairs(Pairs);
        if (pairs is null) Refuse("Pairs", $"Line {line} is no pair.", "Write two numbers: the archive's mark and the bat's.");
        var fit = Word<PictureFit>(Fit);
        Needed(fit, "Fit", "Choose a fit.");
        var tried = Typed.Whole(Tried);
        if (tried is null or 0) Refuse("Tried", "This is no number of tries.", "Count every picture, region and tolerance tried; 1 when there was one of each.");
        if (by is null || !ModelState.IsValid) return Page();
        if (act != "record")
        {
            var (result, refused) = Reading.TryComparison(N, fit!.Value, pairs!, tried!.Value)!.Value;
            Result = result;
            if (refused is not null) Refuse("Pairs", refused.Sentence, refused.Remedy);
            return Page();
        }
        return await Record(Stream, new ComparePictures(N, fit!.Value, Marking, pairs!, null, null, null, null, null, tried!.Value, null) { By = by }) is null
            ? Page() : Done("The comparison is recorded.", Address);
    }

    Marking Marking => Comparison.OnArchive!.Marker.Alias == Comparison.OnBat!.Marker.Alias ? Marking.SamePerson
        : Comparison.OnBat.Sight == MarkerSight.OtherSeen ? Marking.AnotherPersonWithSight : Marking.AnotherPersonWithoutSight;

    string Address => $"/bats/{Number}/comparisons/{N}";

    StreamName Stream => StreamName.Parse(Reading.State.Id);

    protected override string FieldOf(string code) => Turn == ComparisonTurn.Pair ? "Pairs" : "Marks";

    async Task<bool> Load()
    {
        var ct = HttpContext.RequestAborted;
        if (await bench.Bat(Number, ct) is not { } reading || reading.Comparisons().Comparisons.FirstOrDefault(c => c.Entry == N) is not { } comparison
            || await bench.BlindTo(reading, Stage.Sources, Viewer.Party, ct) is not null) return false;
        (Reading, Comparison, Number, Result) = (reading, comparison, reading.State.Registration!.ShortNumber, comparison.Computed);
        SamePerson = comparison.OnArchive is { } first && await bench.IsAlias(reading, first.Marker.Alias, Viewer.Party, ct);
        return true;
    }
}
