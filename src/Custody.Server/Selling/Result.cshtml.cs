using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Offering;
using Custody.Server.Parties;
using Custody.Server.Recording;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.Selling;

/// <summary>A result that was entered wrongly is set right by acts of its own; a lot that passed is sold after the sale.</summary>
[MayUse(AccountRole.Cataloguer)]
public sealed class ResultModel(Recorder recorder, SaleDesk desk, PaddleBook paddles, PeopleDesk people) : LotPage(recorder, desk)
{
    /// <summary>A result that did not happen.</summary>
    public sealed class BackForm
    {
        public string? Reason { get; set; }
    }

    /// <summary>A price or paddle typed wrongly.</summary>
    public sealed class MendForm
    {
        public string? Price { get; set; }
        public string? Paddle { get; set; }
        public string? Reason { get; set; }
    }

    /// <summary>A sale after the lot passed.</summary>
    public sealed class AfterForm
    {
        public string? Price { get; set; }
        public string? Paddle { get; set; }
        public PersonTyped Buyer { get; set; } = new();
    }

    [BindProperty]
    public BackForm Back { get; set; } = new();

    [BindProperty]
    public MendForm Mend { get; set; } = new();

    [BindProperty]
    public AfterForm After { get; set; } = new();

    /// <summary>Bats whose sale out of this lot still stands before title.</summary>
    public IEnumerable<LotOnBat> Sold => Lot.Bats.Where(b => b.Sale?.Standing == SaleStanding.Agreed);

    public IEnumerable<LotOnBat> Passed => Lot.Bats.Where(b => b.Lot.Standing == LotStanding.Passed);

    /// <summary>Bats whose result can be taken back.</summary>
    public IEnumerable<LotOnBat> Ended => Lot.Bats.Where(b => b.Result is not null && b.Sale?.Standing is null or SaleStanding.Agreed);

    public string PriceCurrency => Lot.Bats.Select(b => b.Sale?.Hammer ?? b.Low ?? b.High).FirstOrDefault(m => m is not null)?.Currency.Code ?? Currency;

    /// <summary>It did not happen: the lot stands open again.</summary>
    public async Task<IActionResult> OnPostBackAsync()
    {
        if (!await Find()) return NotFound();
        var (by, reason) = (Acting(), Text(Back.Reason));
        Needed(reason, "Back.Reason", "Say what was wrong with it.");
        if (by is null || !ModelState.IsValid) return await Again();
        return await Did(Ended, b => [new CorrectEntry(CorrectionKind.DidNotHappen, At(b, b.Result!.Value), null, null, null, null, null, reason) { By = by }], "No result stands that could be taken back.")
            ? Done($"The result of lot {Lot.Number} is taken back; the lot is open.", $"{Head.Address}/run?lot={Lot.Number}") : await Again();
    }

    /// <summary>Price or paddle were typed wrongly; the sale itself stands.</summary>
    public async Task<IActionResult> OnPostMendAsync()
    {
        if (!await Find()) return NotFound();
        var (by, reason) = (Acting(), Text(Mend.Reason));
        var price = Price(Mend.Price, PriceCurrency, "Mend.Price");
        var paddle = PaddleBook.Read(Mend.Paddle);
        if (paddle is null && Text(Mend.Paddle) is not null) Refuse("Mend.Paddle", "That is no number of a paddle.", "Letters and digits, ten at most.");
        if (price is null && paddle is null && ModelState.IsValid) Refuse("Mend.Price", "Nothing is to be mended.", "Give the price, the paddle, or both, as they should have been.");
        Needed(reason, "Mend.Reason", "Say what was wrong with it.");
        if (by is null || !ModelState.IsValid) return await Again();
        IEnumerable<Command> Mended(LotOnBat bat)
        {
            if (price is not null) yield return new CorrectEntry(CorrectionKind.Clerical, At(bat, bat.Sale!.Entry), "/body/hammer", null, new WithheldValue(Money: price), null, null, reason) { By = by };
            if (paddle is not null) yield return new CorrectEntry(CorrectionKind.Clerical, At(bat, bat.Sale!.Entry), "/body/paddle", null, new WithheldValue(Text: paddle), null, null, reason) { By = by };
        }
        return await Did(Sold, Mended, "The lot is not sold.") ? Done($"The result of lot {Lot.Number} is mended. What it said before stays readable.", Address) : await Again();
    }

    /// <summary>Sold after it passed.</summary>
    public async Task<IActionResult> OnPostAfterSaleAsync()
    {
        if (!await Find()) return NotFound();
        if (LookedUp is not null) return await Again();
        var by = Acting();
        var price = Price(After.Price, PriceCurrency, "After.Price");
        Needed(price, "After.Price", "Give the price that was agreed.");
        var paddle = PaddleBook.Read(After.Paddle);
        var known = paddle is null ? null : await paddles.Find(Head.Stream, paddle, HttpContext.RequestAborted);
        var buyer = known ?? await Person(people, After.Buyer, "After.Buyer", "Say who bought it, by paddle or by name.");
        if (by is null || !ModelState.IsValid || buyer is null) return await Again();
        return await Did(Passed, b => [new SellBat(SaleChannel.AfterSale, b.Lot.Entry, Head.InForce, by, buyer, Head.Terms.TitlePasses, price, null, null, null, Head.Terms.GoverningLaw, paddle, null, null) { By = by }], "The lot did not pass, or is sold already.")
            ? Done($"Lot {Lot.Number} is sold after the sale.", Address) : await Again();
    }

    static Reference At(LotOnBat bat, long n) => new(null, bat.Stream, n, bat.Reading.Entries[(int)n - 1].Entry.Hash);
}
