using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Examining;
using Custody.Server.Readings;
using Custody.Server.Recording;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.Claiming;

/// <summary>A hold as it is placed, as typed.</summary>
public sealed class HoldForm
{
    public List<string> Scope { get; set; } = [];
    public string? Ground { get; set; }
    public string? Review { get; set; }
    public string? Reason { get; set; }
}

/// <summary>A hold as it is lifted, as typed.</summary>
public sealed class LiftForm
{
    /// <summary>Entry that placed it.</summary>
    public string? Hold { get; set; }

    public string? End { get; set; }
    public string? Basis { get; set; }
    public string? Explanation { get; set; }
}

/// <summary>Holds of a bat: placed with a scope and a ground, lifted with a reason.</summary>
[MayUse(AccountRole.Registrar)]
public sealed class HoldModel(Recorder recorder, BenchDesk bench) : BatActPage(recorder, bench)
{
    [BindProperty]
    public HoldForm Placing { get; set; } = new();

    [BindProperty]
    public LiftForm Lifting { get; set; } = new();

    /// <summary>Every hold, those in force first, the newest before the others.</summary>
    public IEnumerable<(long Entry, Hold State, Noted At)> All => Reading.State.Holds.ByEntry.Reverse().OrderBy(h => h.Value.Lifted)
        .Select(h => (h.Key, h.Value, Reading.Entries[(int)h.Key - 1]));

    public async Task<IActionResult> OnPostAsync()
    {
        if (!await Load()) return NotFound();
        var by = Acting();
        var (scope, ground) = (Ticked<HoldScope>(Placing.Scope), Word<HoldGround>(Placing.Ground));
        var review = Date(Placing.Review, "Placing.Review");
        if (scope.Count == 0) Refuse("Placing.Scope", "Say what it stops.", "");
        Needed(ground, "Placing.Ground", "Say on what ground.");
        Needed(review, "Placing.Review", "Say when it must be looked at again.");
        if (by is null || !ModelState.IsValid || await Record(Stream, new PlaceHold(scope, ground!.Value, review!, Text(Placing.Reason), null) { By = by }) is null) return await Again();
        return Done("The hold is in force.", $"/bats/{Number}/hold");
    }

    public async Task<IActionResult> OnPostLiftAsync()
    {
        if (!await Load()) return NotFound();
        var by = Acting();
        if (Entry(Lifting.Hold) is not { } hold) return BadRequest();
        var (end, basis) = (Word<HoldEnd>(Lifting.End), Word<AssertionBasis>(Lifting.Basis));
        Needed(end, "Lifting.End", "Say why it ends.");
        Needed(basis, "Lifting.Basis", "Say what that rests on.");
        if (by is null || !ModelState.IsValid || await Record(Stream, new LiftHold(hold, end!.Value, basis!.Value, Text(Lifting.Explanation), null) { By = by }) is null) return await Again();
        return Done("The hold is lifted. That it stood still shows.", $"/bats/{Number}/hold");
    }

    protected override string FieldOf(string code) => code switch
    {
        "hold-without-scope" => "Placing.Scope",
        "review-in-past" => "Placing.Review",
        "not-yours-to-lift" => "Lifting.Basis",
        _ => "",
    };
}
