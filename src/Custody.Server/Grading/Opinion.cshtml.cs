using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Accounts;
using Custody.Server.Examining;
using Custody.Server.Readings;
using Custody.Server.Recording;
using Custody.Server.Web.Pages;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.Grading;

/// <summary>Prepares an opinion from a weighing and the findings, and gives it. Numbers are computed here each time; none is taken from the form.</summary>
[MayUse(AccountRole.Examiner)]
public sealed class OpinionModel(Recorder recorder, BenchDesk bench, WeighingDesk desk, RecomputeDesk again, Histories histories) : ActPage(recorder)
{
    [FromRoute]
    public string Number { get; set; } = "";

    /// <summary>The weighing it is prepared from; without a habit file nothing is weighed by computation.</summary>
    [FromQuery]
    public WeighingQuery Asked { get; set; } = new();

    /// <summary>An opinion to take the place of.</summary>
    [FromQuery(Name = "supersedes")]
    public long? Revises { get; set; }

    [BindProperty]
    public OpinionForm Giving { get; set; } = new();

    public Reading Reading { get; private set; } = null!;

    public WholeWeighing? Whole { get; private set; }

    /// <summary>The numbers as they come out; null until they are asked for.</summary>
    public OpinionNumbers? Numbers { get; private set; }

    public IReadOnlyList<(StreamName Stream, string Name)> Rubrics { get; private set; } = [];

    public OpinionChoices Choices => new(Reading);

    public PartyId? Own => Viewer.Party;

    public (PartyId Party, string Name)? Player => Whole is null ? null : new FileNames(Whole.Habits).Player;

    public async Task<IActionResult> OnGetAsync()
    {
        if (!await Load()) return NotFound();
        Seen = Reading.State.N;
        var all = Choices;
        Giving = new OpinionForm
        {
            Examinations = [.. all.Examinations.Select(e => e.Entry)],
            Sources = [.. all.Sources.Select(s => s.Entry)],
            Photographs = [.. all.Photographs.Select(s => s.Entry)],
            Comparisons = [.. all.Comparisons.Select(s => s.Entry)],
            Treatments = [.. all.Treatments.Select(s => s.Entry)],
            Lists = [.. all.Lists.Select(l => l.Entry)],
            Supersedes = Revises is { } n ? [n] : [],
            Rubric = Rubrics.Count == 1 ? Rubrics[0].Stream.ToString() : null,
            Level = Whole is null ? null : nameof(PropositionLevel.UsedByHim),
        };
        return Page();
    }

    /// <param name="act">prepare or give.</param>
    public async Task<IActionResult> OnPostAsync(string? act)
    {
        if (!await Load()) return NotFound();
        var by = Acting();
        var rubric = await Rubric();
        if (Stated() is not { } stated || by is null) return Page();
        var level = Word<PropositionLevel>(Giving.Level, "Giving.Level");
        OpinionBasis basis = new(
            Giving.Examinations, stated, Whole?.Inputs(Reading), Whole?.Weighed.HabitFile, Whole?.Weighed.ComparisonFile, rubric, rubric is null ? null : level, Giving.WithSeasons,
            Giving.WithZones && Whole is not null, null, Giving.Lists);
        Numbers = OpinionNumbers.Of(Reading, basis, await again.Cited(basis.Cites, HttpContext.RequestAborted));
        foreach (var refusal in Numbers.Refused) Refuse(FieldOf(refusal.Code), refusal.Sentence, refusal.Remedy);
        if (rubric is not null && level is null) Refuse("Giving.Level", "The grade's support speaks of no level.", "Choose one that is weighed, or grade under no rubric.");
        if (act != "give" || !ModelState.IsValid) return Page();
        return Command(by, basis) is { } command && await Record(StreamName.Parse(Reading.State.Id), command) is not null
            ? Done("The opinion is given. It shows from now on, whatever becomes of it.", $"/bats/{Number}/review")
            : Page();
    }

    GiveComputedOpinion? Command(PartyId by, OpinionBasis basis)
    {
        var (fee, asked) = (Word<FeeTerms>(Giving.Fee, "Giving.Fee"), BatParties.Read(Giving.AskedBy));
        Needed(fee, "Giving.Fee", "Say on what terms it was paid for; no fee is an answer.");
        Needed(asked, "Giving.AskedBy", "Say who asked for it.");
        var interests = Ticked<DeclaredInterest>(Giving.Interests);
        var (graded, departures) = Numbers!.Grade is { } by1 && basis.Level is { } level ? Graded(level, by1.Grade) : (null, []);
        return ModelState.IsValid
            ? new GiveComputedOpinion(
                BatParties.Read(Giving.House) ?? by, [by], Player?.Party ?? BatParties.Read(Giving.Player), Numbers.Pairs, basis.Inputs, Numbers.Seasons, graded,
                basis.Rubric, departures, new OpinionGrounds(basis.Examinations, Giving.Sources, Giving.Photographs, Giving.Comparisons, Giving.Treatments),
                basis.HabitFile, basis.ComparisonFile, Giving.Supersedes, asked!, BatParties.Read(Giving.PaidBy), fee!.Value, interests, Text(Giving.Statement), Text(Giving.Reasons),
                Numbers.Zones, Numbers.Places)
            { By = by }
            : null;
    }

    /// <summary>The rubric's grade, and where the examiner's differs the departure with its ground and reason.</summary>
    (GradeGiven, IReadOnlyList<DepartureStated>) Graded(PropositionLevel level, Grade byRubric)
    {
        var given = byRubric;
        if (StatedPairs.Read(Giving.Support) is { } support) given = given with { For = support.For, Support = support.Word };
        if (Word<UseWord>(Giving.Use, "Giving.Use") is { } use) given = given with { Use = use };
        if (Word<ConditionWord>(Giving.Condition, "Giving.Condition") is { } condition) given = given with { Condition = condition };
        List<DepartureStated> departures = [];
        foreach (var axis in Enum.GetValues<GradeAxis>().Where(a => Differ(a, given, byRubric)))
        {
            var (ground, reason) = Giving.Departure(axis);
            if (Word<DepartureGround>(ground, $"Giving.{axis}Ground") is { } why && Text(reason) is { } words) departures.Add(new(axis, why, words));
            else Refuse($"Giving.{axis}Ground", "This differs from what the rubric gives.", "Say on what ground, and why.");
        }
        return (new GradeGiven(level, byRubric, given), departures);
    }

    static bool Differ(GradeAxis axis, Grade a, Grade b) => axis switch
    {
        GradeAxis.Support => (a.For, a.Support) != (b.For, b.Support),
        GradeAxis.Use => a.Use != b.Use,
        _ => a.Condition != b.Condition,
    };

    List<Weighing>? Stated()
    {
        List<Weighing> stated = [];
        foreach (var ((level, against), said) in StatedPairs.Offered.Zip(Giving.Pairs))
        {
            // What is computed is not stated as well.
            if (string.IsNullOrEmpty(said) || (Whole is not null && level == PropositionLevel.UsedByHim)) continue;
            if (StatedPairs.Read(said) is { } words) stated.Add(new(level, against, words.For, words.Word, null, null, null, null));
            else Refuse("", "A pair of propositions carries no word that is known.", "Choose one of the words.");
        }
        return ModelState.IsValid ? stated : null;
    }

    async Task<Reference?> Rubric()
    {
        if (Text(Giving.Rubric) is not { } said) return null;
        if (StreamName.TryParse(said, out var stream) && stream.Kind == "rubric"
            && (await histories.Open(stream, HttpContext.RequestAborted)).LastOrDefault(e => e.Fact is RubricPublished) is { } published)
            return new(null, stream, published.N, published.Hash);
        Refuse("Giving.Rubric", "There is no such rubric.", "Choose one.");
        return null;
    }

    async Task<bool> Load()
    {
        var ct = HttpContext.RequestAborted;
        if (await bench.Bat(Number, ct) is not { } found) return false;
        (Reading, Number) = (found, found.State.Registration!.ShortNumber);
        Rubrics = await FileNames.Known(histories, "rubric", ct);
        if (Asked.Habits is null) return true;
        (Whole, var refused) = await desk.Whole(Reading, Asked.Wish(forOpinion: true), ct);
        if (refused is not null) Refuse("", refused.Sentence, refused.Remedy);
        return true;
    }

    protected override string FieldOf(string code) => code switch
    {
        "payer-not-named" => "Giving.PaidBy",
        "terms-not-stated" => "Giving.Fee",
        "player-not-named" => "Giving.Player",
        "no-closed-examination" or "no-such-examination" => "Giving.Examinations",
        "shape-not-measured" => "Giving.WithZones",
        "list-of-another-examination" or "list-not-counted" or "replaced-already" => "Giving.Lists",
        "grade-without-rubric" or "computed-without-inputs" => "Giving.Rubric",
        "level-not-weighed" => "Giving.Level",
        "departure-not-said" or "pictures-only-limit" => "Giving.Support",
        _ => "",
    };
}
