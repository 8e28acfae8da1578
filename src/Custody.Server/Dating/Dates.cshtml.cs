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

namespace Custody.Server.Dating;

/// <summary>Records facts that bound when the bat was made and used, and lists of where it could have been. What they leave is computed, never typed.</summary>
[MayUse(AccountRole.Examiner)]
public sealed class DatesModel(Recorder recorder, BenchDesk bench) : BatActPage(recorder, bench)
{
    const int FactRows = 3, SignRows = 4, PlaceRows = 8;

    /// <summary>The examination whose findings are set against a list; the last one when left out.</summary>
    [FromQuery(Name = "examination")]
    public long? Asked { get; set; }

    [BindProperty]
    public DatesForm Dating { get; set; } = new();

    [BindProperty]
    public PlacesForm Listing { get; set; } = new();

    /// <summary>The viewer's own open examination to which records are closed still.</summary>
    public long? Blind { get; private set; }

    /// <summary>Examinations with locked findings that the viewer may see.</summary>
    public IReadOnlyList<ExaminationRead> Examinations { get; private set; } = [];

    /// <summary>The one whose findings stand in the form; null where there is none.</summary>
    public ExaminationRead? Chosen => Examinations.FirstOrDefault(e => e.Entry == Listing.Examination);

    public IEnumerable<SelectListItem> Sources => CitedSources.Choices(Reading);

    /// <summary>Entries of dated facts that count.</summary>
    public IEnumerable<(long Entry, string Says)> Dated => Reading.State.Datings.ByEntry.Keys
        .Where(n => Datings.Counts(Reading.State, Reading.State.Datings.ByEntry, n))
        .Select(n => (n, string.Join("; ", ((DatingRecorded)Reading.Entries[(int)n - 1].Fact).Facts.Values.Select(Said))));

    public IEnumerable<SelectListItem> Lists => Reading.State.Datings.Lists.Keys
        .Where(n => Datings.Counts(Reading.State, Reading.State.Datings.Lists, n)).Select(n => new SelectListItem($"entry {n}", Whole(n)));

    public static IEnumerable<SelectListItem> SignNumbers { get; } = [.. Enumerable.Range(1, SignRows).Select(i => new SelectListItem($"sign {Whole(i)}", Whole(i)))];

    public override async Task<IActionResult> OnGetAsync()
    {
        if (!await Load()) return NotFound();
        Seen = Reading.State.N;
        Listing.Examination = Examinations.FirstOrDefault(e => e.Entry == Asked)?.Entry ?? (Examinations.Count > 0 ? Examinations[^1].Entry : 0);
        Rows();
        return Page();
    }

    public async Task<IActionResult> OnPostDatesAsync()
    {
        if (!await Load() || Blind is not null) return NotFound();
        Rows();
        var by = Acting();
        List<DatingStated> facts = [.. Dating.Facts.Select(Fact).OfType<DatingStated>()];
        var lag = Lag();
        if (ModelState.IsValid && facts.Count == 0 && lag is null) Refuse("Dating.Facts[0].Within", "Nothing is dated.", "Give one date at least.");
        if (by is null || !ModelState.IsValid) return Page();
        var recorded = await Record(Stream, new RecordDating(facts, lag is null ? null : [lag], Dating.Replaces, Text(Dating.Remarks)) { By = by });
        return recorded is null ? Page() : Done("The dates are recorded. The seasons that are left stand here.", $"/bats/{Number}/seasons");
    }

    public async Task<IActionResult> OnPostPlacesAsync()
    {
        if (!await Load() || Blind is not null) return NotFound();
        Rows();
        var by = Acting();
        if (Chosen is null) Refuse("", "There is no such examination with locked findings.", "Choose one.");
        List<SignStated> signs = [.. Listing.Signs.Select(Sign).OfType<SignStated>()];
        List<PlaceStated> places = [.. Listing.Places.Select(Place).OfType<PlaceStated>()];
        List<ContactSeen> contacts = [.. Listing.Contacts.Select(Contact).OfType<ContactSeen>()];
        if (by is null || !ModelState.IsValid) return Page();
        var recorded = await Record(
            Stream,
            new ListWhereabouts(Listing.Examination, signs, places, contacts, Entry(Listing.Source), Entry(Listing.Replaces), Text(Listing.Remarks)) { By = by });
        return recorded is null ? Page() : Done("The list is recorded. How the layers fit it stands here.", $"/bats/{Number}/seasons");
    }

    DatingStated? Fact(DatedFactForm form, int i)
    {
        var field = string.Create(CultureInfo.InvariantCulture, $"Dating.Facts[{i}]");
        var within = Text(form.Within) ?? "";
        if (within.Length == 0 && Text(form.Moment) is null) return null;
        var (moment, basis) = (Word<BatMoment>(form.Moment), Word<DatingBasis>(form.Basis));
        Needed(moment, field + ".Moment", "Say which moment it bounds.");
        Needed(basis, field + ".Basis", "Say what it is read from.");
        List<Edtf> dates = [.. within.Split(';', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries).Select(d => Date(d, field + ".Within")).OfType<Edtf>()];
        if (dates.Count == 0) Needed(null, field + ".Within", "Say within which dates it lies.");
        return moment is { } m && basis is { } b
            ? new(m, dates, Word<BoundStrength>(form.Strength) ?? BoundStrength.Hard, Word<DatingScope>(form.Scope) ?? DatingScope.Bat, b, Entry(form.Source), Text(form.Text)) : null;
    }

    LagStated? Lag()
    {
        var form = Dating.Lag;
        if (Text(form.LeastDays) is null && Text(form.MostDays) is null) return null;
        var (from, to) = (Word<BatMoment>(form.From), Word<BatMoment>(form.To));
        var (least, most) = (Entry(form.LeastDays), Entry(form.MostDays));
        Needed(from, "Dating.Lag.From", "Say from which moment.");
        Needed(to, "Dating.Lag.To", "Say to which moment.");
        if (least is null or > int.MaxValue || most is null or > int.MaxValue) Refuse("Dating.Lag.LeastDays", "The days between the two are not whole numbers.", "Give the least and the most.");
        return ModelState.IsValid ? new(from!.Value, to!.Value, (int)least!, (int)most!, Word<DatingBasis>(form.Basis) ?? DatingBasis.CommonPractice) : null;
    }

    SignStated? Sign(SignForm form, int i)
    {
        if (Text(form.Kind) is null && Text(form.Name) is null) return null;
        var kind = Word<FindingKind>(form.Kind);
        Needed(kind, string.Create(CultureInfo.InvariantCulture, $"Listing.Signs[{i}].Kind"), "Say what kind of sign it is.");
        return kind is { } k ? new(k, Text(form.Name)) : null;
    }

    PlaceStated? Place(PlaceForm form, int i)
    {
        var field = string.Create(CultureInfo.InvariantCulture, $"Listing.Places[{i}]");
        if (Text(form.When) is null && Text(form.Name) is null) return null;
        var when = Date(form.When, field + ".When");
        Needed(when, field + ".When", "Say when it could have been there.");
        List<int?> leaves = [.. (form.Leaves ?? "").Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)
            .Select(s => Entry(s) is { } n and <= int.MaxValue ? (int?)n : null)];
        if (leaves.Contains(null)) Refuse(field + ".Leaves", "The signs are not numbers.", "Give their numbers, apart by commas.");
        return when is null ? null : new(when, [.. leaves.OfType<int>()], Text(form.Name));
    }

    ContactSeen? Contact(ContactForm form, int i)
    {
        if (Entry(form.Sign) is not { } sign) return null;
        if (Text(form.Proposed) is { } said && Entry(said) is null or > int.MaxValue)
            Refuse(string.Create(CultureInfo.InvariantCulture, $"Listing.Contacts[{i}].Proposed"), "This is no number of a place.", "Give its number in the list, or nothing.");
        return new(form.Finding, (int)Math.Min(sign, int.MaxValue), (int?)Entry(form.Proposed));
    }

    protected override string FieldOf(string code) => code switch
    {
        "seasons-fact-empty" or "dating-out-of-range" => "Dating.Facts[0].Within",
        "seasons-lag" => "Dating.Lag.LeastDays",
        "sign-unknown" or "list-key" => "Listing.Signs[0].Kind",
        "list-out-of-range" => "Listing.Places[0].When",
        "place-not-listed" => "Listing.Contacts[0].Proposed",
        _ => "",
    };

    static string Said(Bats.Dating fact) => $"{Words.Of(fact.Moment.ToString())} within {string.Join(", ", fact.Within)}";

    static string Whole(long n) => n.ToString(CultureInfo.InvariantCulture);

    // Empty rows to write in, and every finding of the chosen examination once.
    void Rows()
    {
        while (Dating.Facts.Count < FactRows) Dating.Facts.Add(new());
        while (Listing.Signs.Count < SignRows) Listing.Signs.Add(new());
        while (Listing.Places.Count < PlaceRows) Listing.Places.Add(new());
        foreach (var finding in Chosen?.Findings ?? [])
            if (Listing.Contacts.TrueForAll(c => c.Finding != finding.Number)) Listing.Contacts.Add(new() { Finding = finding.Number });
    }

    protected override async Task<bool> Load()
    {
        if (!await base.Load()) return false;
        var ct = HttpContext.RequestAborted;
        // Dates come from records; findings of others are held back longer.
        Blind = await Bench.BlindTo(Reading, Stage.FactoryRecord, Viewer.Party, ct);
        var own = await Bench.BlindTo(Reading, Stage.OthersOpinions, Viewer.Party, ct);
        Examinations = [.. Reading.Condition().Examinations.Where(e => own is null || e.Entry == own)];
        return true;
    }
}
