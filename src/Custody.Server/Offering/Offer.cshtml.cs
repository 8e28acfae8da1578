using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Citing;
using Custody.Server.Examining;
using Custody.Server.Readings;
using Custody.Server.Recording;
using Custody.Server.Selling;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.Rendering;

namespace Custody.Server.Offering;

/// <summary>A lot as it is offered, as typed.</summary>
public sealed class OfferForm
{
    /// <summary>Identifier of the sale.</summary>
    public string? Sale { get; set; }

    public string? Number { get; set; }

    /// <summary>Numbers of further bats of the same lot.</summary>
    public string? Others { get; set; }

    public string? Title { get; set; }
    public string? Text { get; set; }
    public string? Low { get; set; }
    public string? High { get; set; }
    public string? Reserve { get; set; }
    public string? Currency { get; set; } = SalePage.UsualCurrency;
    public List<string> Interests { get; set; } = [];
    public List<string> Grounds { get; set; } = [];
}

/// <summary>Offers a consigned bat in a sale, alone or with others in one lot; and again, when it came back.</summary>
[MayUse(AccountRole.Cataloguer)]
public sealed class OfferModel(Recorder recorder, BenchDesk bench, SaleDesk sales) : BatActPage(recorder, bench)
{
    [BindProperty]
    public OfferForm Offering { get; set; } = new();

    public IReadOnlyList<SaleHead> Sales { get; private set; } = [];

    public IEnumerable<SelectListItem> Choices => Sales.Select(s => new SelectListItem($"{s.Title}{(s.Terms.Held is { } held ? $", {held}" : "")}", s.Stream.Id));

    /// <summary>The lot it stood in last, when it can be offered again out of it.</summary>
    public long? Earlier => Reading.State.Lots.ByEntry.LastOrDefault(l => !Reading.State.Corrections.IsVoid(l.Key)) is { Key: > 0, Value.Standing: LotStanding.Passed or LotStanding.Withdrawn or LotStanding.Defaulted or LotStanding.Cancelled or LotStanding.Rescinded } last ? last.Key : null;

    /// <summary>What a text can rest on: opinions that stand, sources that were not withdrawn, closed examinations; each by entry, in words.</summary>
    public IEnumerable<(long Entry, string Says)> Grounds =>
    [
        .. Reading.Opinions().Opinions.Where(o => o.Standing is not (EntryStanding.Void or EntryStanding.Withdrawn)).Select(o => (o.Entry, $"opinion of {o.House.Name ?? "a house"}{(o.IsPresent ? "" : ", revised since")}")),
        .. CitedSources.Standing(Reading).Select(s => (s.Entry, $"source: {CitedSources.NameOf(Reading, s.Entry)}")),
        .. Reading.State.Examinations.ByEntry.Where(e => e.Value.Closed is not null && !Reading.State.Corrections.IsVoid(e.Key)).Select(e => (e.Key, $"examination of {Reading.Who(e.Value.Examiner).Name ?? "an examiner"}")),
    ];

    public bool IsGround(long entry) => Offering.Grounds.Contains(entry.ToString(System.Globalization.CultureInfo.InvariantCulture));

    /// <summary>Identifier of the sale that a cataloguer came from.</summary>
    [FromQuery(Name = "sale")]
    public string? From { get; set; }

    public override async Task<IActionResult> OnGetAsync()
    {
        if (!await Begin()) return NotFound();
        Seen = Reading.State.N;
        var sale = Sales.FirstOrDefault(s => s.Stream.Id == From) ?? (Sales.Count == 1 ? Sales[0] : null);
        if (sale is { } chosen)
            (Offering.Sale, Offering.Number) = (chosen.Stream.Id, LotNumbers.After((await sales.Lines(chosen.Stream, HttpContext.RequestAborted)).Select(l => l.Number)));
        if (Earlier is { } earlier && Reading.Lots().Lots.First(l => l.Entry == earlier) is var lot)
            (Offering.Title, Offering.Text, Offering.Low, Offering.High) = (lot.Title, lot.TextNow, lot.LowEstimate?.Amount.ToString(), lot.HighEstimate?.Amount.ToString());
        return Page();
    }

    public async Task<IActionResult> OnPostAsync()
    {
        if (!await Begin()) return NotFound();
        var by = Acting();
        var sale = Sales.FirstOrDefault(s => s.Stream.Id == Offering.Sale);
        Needed(sale, "Offering.Sale", "Choose the sale.");
        var number = Text(Offering.Number)?.ToUpperInvariant();
        Needed(number, "Offering.Number", "Give it a lot number.");
        var (low, high, reserve) = (Money(Offering.Low, "Offering.Low"), Money(Offering.High, "Offering.High"), Money(Offering.Reserve, "Offering.Reserve"));
        if (low is not null && high is not null && low.Amount > high.Amount) Refuse("Offering.High", "The high estimate is below the low one.", "Give the higher amount here.");
        var others = await Others();
        if (sale is not null && number is not null && !await WasRecorded(Submission) && (await sales.Lines(sale.Stream, HttpContext.RequestAborted)).Any(l => l.Number == number && l.Standing != LotStanding.Withdrawn))
            Refuse("Offering.Number", $"Lot {number} of this sale is taken.", "Take the next free number, or put both bats into one lot when the first is offered.");
        if (by is null || !ModelState.IsValid) return Page();
        long[] grounds = [.. Offering.Grounds.Select(Entry).OfType<long>()];
        Step Offer(Reading bat, long? earlier, long[] rests) => new(StreamName.Parse(bat.State.Id), earlier is { } e
            ? new ReofferLot(e, sale!.InForce, number!, others.Count + 1, by, Ticked<Interest>(Offering.Interests), rests, Text(Offering.Title), Text(Offering.Text), low, high, reserve) { By = by }
            : new OfferLot(sale!.InForce, number!, others.Count + 1, by, Ticked<Interest>(Offering.Interests), rests, Text(Offering.Title), Text(Offering.Text), low, high, reserve) { By = by });
        if (await Record([Offer(Reading, Earlier, grounds), .. others.Select(o => Offer(o, null, []))]) is null)
        {
            await Begin();
            return Page();
        }
        return Done($"{(others.Count == 0 ? "The bat is" : $"{others.Count + 1} bats are")} offered as lot {number}.", sale!.Address);
    }

    async Task<List<Reading>> Others()
    {
        List<Reading> found = [];
        foreach (var said in (Offering.Others ?? "").Split([' ', ',', ';', '\n', '\r', '\t'], StringSplitOptions.RemoveEmptyEntries).Take(200))
        {
            if (await Bench.Bat(said, HttpContext.RequestAborted) is not { } other) Refuse("Offering.Others", $"There is no bat {said} in this ledger.", "Look its number up again.");
            else if (other.State.Id == Reading.State.Id || found.Any(f => f.State.Id == other.State.Id)) Refuse("Offering.Others", $"Bat {said} is named twice.", "Name each bat of the lot once.");
            else found.Add(other);
        }
        return found;
    }

    Evidence.Money? Money(string? said, string field) => Amount(SalePage.Plain(said), Offering.Currency ?? "", field);

    async Task<bool> Begin()
    {
        if (!await Load()) return false;
        Sales = [.. (await sales.Heads(HttpContext.RequestAborted)).Where(s => s.TakesLots)];
        return true;
    }

    protected override string FieldOf(string code) => code switch
    {
        "lot-number" => "Offering.Number",
        "house-owned-undisclosed" => "Offering.Interests",
        "rests-on-void" => "Offering.Grounds",
        "no-such-terms" => "Offering.Sale",
        _ => "",
    };
}
