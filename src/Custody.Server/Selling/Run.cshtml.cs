using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Accounts;
using Custody.Server.Parties;
using Custody.Server.Recording;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.Selling;

/// <summary>A result as it is typed while the sale runs.</summary>
public sealed class ResultForm
{
    /// <summary>Number of the lot that lay before whoever typed.</summary>
    public string? Lot { get; set; }

    /// <summary>Its bats as they were seen: stream and the entry that offered it, a space between.</summary>
    public List<string> Bats { get; set; } = [];

    /// <summary>The hammer price; or P when it passed, W when it was withdrawn. With "passed": the highest bid.</summary>
    public string? Price { get; set; }

    public string? Currency { get; set; }

    public string? Paddle { get; set; }

    public PersonTyped Buyer { get; set; } = new();

    /// <summary>Why it was withdrawn.</summary>
    public string? Ground { get; set; }
}

/// <summary>Results of a running sale, lot after lot: each is recorded as soon as it is sent, and the next lot comes up by itself.</summary>
[MayUse(AccountRole.Cataloguer)]
public sealed class RunModel(Recorder recorder, SaleDesk desk, PaddleBook paddles, PeopleDesk people) : SalePage(recorder, desk)
{
    /// <summary>Results that are shown as they were just entered.</summary>
    const int Shown = 5;

    [BindProperty]
    public ResultForm Result { get; set; } = new();

    /// <summary>The lot asked for.</summary>
    [FromQuery(Name = "lot")]
    public string? Asked { get; set; }

    /// <summary>The lot whose result was entered last: the next one after it comes up.</summary>
    [FromQuery(Name = "after")]
    public string? After { get; set; }

    /// <summary>The lot that is up; null when every lot has its result.</summary>
    public SaleLot? Up { get; private set; }

    /// <summary>Lots with the newest results, newest first.</summary>
    public IReadOnlyList<SaleLot> Latest { get; private set; } = [];

    public IReadOnlyList<Paddle> Paddles { get; private set; } = [];

    public string? Before => Neighbour(-1);

    public string? Next => Neighbour(1);

    public int Open => Lines.Count(l => l.IsOpen);

    public async Task<IActionResult> OnGetAsync()
    {
        if (!await Load()) return NotFound();
        await Show(Asked);
        Result.Currency = Up?.Bats.Select(b => b.Low ?? b.High).FirstOrDefault(m => m is not null)?.Currency.Code ?? Currency;
        return Page();
    }

    public Task<IActionResult> OnPostAsync() => Take(SaysPassed ? LotStanding.Passed : Said is "W" or "WITHDRAWN" ? LotStanding.Withdrawn : LotStanding.Sold);

    public Task<IActionResult> OnPostPassedAsync() => Take(LotStanding.Passed);

    public Task<IActionResult> OnPostWithdrawnAsync() => Take(LotStanding.Withdrawn);

    string? Said => Text(Result.Price)?.ToUpperInvariant();

    bool SaysPassed => Said is "P" or "PASS" or "PASSED";

    async Task<IActionResult> Take(LotStanding how)
    {
        if (!await Load() || !Head.TakesResults || LineOf(Result.Lot) is not { } line) return NotFound();
        if (LookedUp is not null) return await Again();
        var by = Acting();
        var bats = Result.Bats.Select(Seenly).ToList();
        if (bats.Contains(null) || bats.Count == 0) return BadRequest();
        if (line.Open.Any(b => !bats.Contains((b.Bat, b.Entry)))) Refuse("", "Another bat was put into this lot while you were looking at it.", "What you typed is kept. Look at the lot, then send it again.");
        var (commands, said) = how switch
        {
            LotStanding.Passed => Passed(),
            LotStanding.Withdrawn => Withdrawn(),
            _ => await Sold(by),
        };
        if (by is null || !ModelState.IsValid || commands is null) return await Again();
        return await Record([.. bats.Select(b => new Step(b!.Value.Bat, commands(b.Value.Entry) with { By = by }))]) is null
            ? await Again() : Done($"Lot {line.Number} {said}.", $"{Head.Address}/run?after={line.Number}");
    }

    async Task<(Func<long, Command>?, string)> Sold(PartyId? by)
    {
        var hammer = Price(Result.Price, Result.Currency, "Result.Price");
        Needed(hammer, "Result.Price", "Give the hammer price; or P when it passed, W when it was withdrawn.");
        if (hammer is { Amount.Sign: 0 }) Refuse("Result.Price", "A hammer price of nothing is none.", "Give the price, or P when it passed.");
        var paddle = PaddleBook.Read(Result.Paddle);
        if (paddle is null && Text(Result.Paddle) is not null) Refuse("Result.Paddle", "That is no number of a paddle.", "Letters and digits, ten at most.");
        var known = paddle is null ? null : await paddles.Find(Head.Stream, paddle, HttpContext.RequestAborted);
        var typed = Text(Result.Buyer.Name) is not null || !string.IsNullOrEmpty(Result.Buyer.Party);
        if (known is null && !typed)
            Refuse("Result.Paddle", paddle is null ? "It is not said who bought it." : $"Paddle {paddle} is given out to nobody.", paddle is null ? "Give the paddle, or the buyer by name." : "Give the buyer by name, and the paddle is theirs from now on.");
        if (!ModelState.IsValid || by is null) return (null, "");
        var named = typed ? await Person(people, Result.Buyer, "Result.Buyer") : null;
        if (named is not null && known is not null && named != known) Refuse("Result.Buyer", $"Paddle {paddle} is with somebody else.", "Leave the name out, or give another paddle.");
        if (!ModelState.IsValid || (named ?? known) is not { } buyer) return (null, "");
        if (paddle is not null && known is null) await paddles.Give(Head.Stream, paddle, buyer, HttpContext.RequestAborted);
        return (lot => new SellBat(SaleChannel.Lot, lot, Head.InForce, by, buyer, Head.Terms.TitlePasses, hammer, null, null, null, Head.Terms.GoverningLaw, paddle, null, null) { By = by },
            $"is sold at {hammer!.Amount} {hammer.Currency.Code}{(paddle is null ? "" : " to paddle " + paddle)}");
    }

    (Func<long, Command>?, string) Passed()
    {
        var bid = Said is null || SaysPassed ? null : Price(Result.Price, Result.Currency, "Result.Price");
        return (lot => new PassLot(lot, bid is null ? PassedBecause.NoBid : PassedBecause.ReserveNotMet, bid) { By = PartyId.Ledger }, bid is null ? "passed without a bid" : $"passed at {bid.Amount} {bid.Currency.Code}");
    }

    (Func<long, Command>?, string) Withdrawn()
    {
        var ground = Word<WithdrawalGround>(Result.Ground);
        Needed(ground, "Result.Ground", "Say why it is withdrawn.");
        return ground is null ? (null, "") : (lot => new WithdrawLot(lot, ground.Value, null, null) { By = PartyId.Ledger }, "is withdrawn");
    }

    static (StreamName Bat, long Entry)? Seenly(string said) =>
        said.Split(' ') is [var bat, var entry] && StreamName.TryParse(bat, out var stream) && stream.Kind == "bat" && Entry(entry) is { } n ? (stream, n) : null;

    async Task<IActionResult> Again()
    {
        await Load();
        await Show(Result.Lot);
        return Page();
    }

    async Task Show(string? asked)
    {
        var ct = HttpContext.RequestAborted;
        var after = Lines.Where(l => l.IsOpen && After is not null && LotNumbers.InOrder.Compare(l.Number, After) > 0);
        var up = LineOf(asked?.Trim().ToUpperInvariant()) ?? after.FirstOrDefault() ?? Lines.FirstOrDefault(l => l.IsOpen);
        Up = up is null ? null : await Desk.Lot(up, ct);
        if (Seen is null && up is not null) Seen = Up!.Bats is [var first, ..] ? first.Reading.State.N : null;
        List<SaleLot> latest = [];
        foreach (var line in Lines.Where(l => !l.IsOpen).OrderByDescending(l => l.Recorded).ThenByDescending(l => l.Number, LotNumbers.InOrder).Take(Shown)) latest.Add(await Desk.Lot(line, ct));
        (Latest, Paddles) = (latest, await paddles.All(Head.Stream, ct));
    }

    string? Neighbour(int step)
    {
        if (Up is null) return null;
        var at = Lines.Select(l => l.Number).ToList().IndexOf(Up.Number) + step;
        return at >= 0 && at < Lines.Count ? Lines[at].Number : null;
    }

    protected override string FieldOf(string code) => code switch
    {
        "buyer-holds-title" => "Result.Buyer",
        _ => "",
    };
}
