using Custody.Bats;
using Custody.Evidence.Weight;
using Custody.Server.Accounts;
using Custody.Server.Examining;
using Custody.Server.Recording;
using Custody.Server.Web.Pages;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.Grading;

/// <summary>The weight of a bat's findings against a player's habits: words first, each contribution beside the others, and what would change the word. Nothing
/// is recorded.</summary>
[MayUse(AccountRole.Examiner, AccountRole.Auditor)]
public sealed class WeightModel(BenchDesk bench, WeighingDesk desk, Histories histories) : PageModel
{
    [FromRoute]
    public string Number { get; set; } = "";

    [FromQuery]
    public WeighingQuery Asked { get; set; } = new();

    public Reading Reading { get; private set; } = null!;

    /// <summary>The viewer's own examination that may not see a habit file yet; then nothing is weighed here.</summary>
    public long? Blind { get; private set; }

    public WholeWeighing? Whole { get; private set; }

    public Refusal? Refused { get; private set; }

    public FileNames? Names { get; private set; }

    public IReadOnlyList<(StreamName Stream, string Name)> HabitFiles { get; private set; } = [];

    public IReadOnlyList<(StreamName Stream, string Name)> ComparisonFiles { get; private set; } = [];

    /// <summary>Examinations with locked findings.</summary>
    public IEnumerable<ExaminationOrder> Examinations => Reading.Examined().Where(e => e.Standing != EntryStanding.Void && e.Findings.Count > 0);

    /// <summary>The scale that gives the words here; an opinion takes its rubric's bands.</summary>
    public VerbalScale Scale => VerbalScale.All.FirstOrDefault(s => s.Id == Asked.Scale) ?? VerbalScale.Enfsi2015;

    /// <summary>Placed findings against the player's usual zones; null where nothing is weighed.</summary>
    public BatZones? Zones { get; private set; }

    public async Task<IActionResult> OnGetAsync()
    {
        var ct = HttpContext.RequestAborted;
        if (await bench.Bat(Number, ct) is not { } reading) return NotFound();
        (Reading, Number) = (reading, reading.State.Registration!.ShortNumber);
        Blind = await bench.BlindTo(reading, Stage.HabitFile, Viewer.Of(User)!.Party, ct);
        if (Blind is not null) return Page();
        HabitFiles = await FileNames.Known(histories, "habits", ct);
        ComparisonFiles = await FileNames.Known(histories, "comparison", ct);
        if (await desk.Habits(reading, Asked.Wish().Habits, ct) is { } habits) Names = new(habits);
        (Whole, Refused) = await desk.Whole(reading, Asked.Wish(), ct);
        if (Whole is { } whole) Zones = reading.Zones(whole.Habits, whole.Weighed.Examination);
        // What was found out here is said from here on: an opinion names its files.
        if (Whole is { Weighed: var weighed })
            (Asked.Habits, Asked.Comparison, Asked.Examination) = (weighed.HabitFile.Stream.ToString(), weighed.ComparisonFile.Stream.ToString(), weighed.Examination);
        return Page();
    }

    /// <summary>Characteristics of the file that something was found of, so that a value can be read.</summary>
    public IEnumerable<long> Readable()
    {
        var examined = Examinations.LastOrDefault(e => Asked.Examination is not { } n || e.Entry == n);
        var seen = (examined?.Findings ?? []).Where(f => f.Now is { Presence: not Presence.NotAssessable }).Select(f => f.Now!.Kind).ToHashSet();
        return Names?.All.Where(c => seen.Contains(c.Defined.Characteristic.Kind)).Select(c => c.Id) ?? [];
    }

    public WeightBars Bars(PairWeight pair) => new([.. Counted(pair).Select(c => (Names!.Characteristics(c.Members), c.Weight))]);

    /// <summary>The characteristics in a pair's number, in the file's order.</summary>
    public IEnumerable<CharacteristicWeight> Counted(PairWeight pair) => Whole!.Weighed.Result.Characteristics.Where(c => pair.Counted.Any(m => m.SequenceEqual(c.Members)));
}
