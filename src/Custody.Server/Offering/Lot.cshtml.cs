using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Recording;
using Custody.Server.Selling;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.Offering;

/// <summary>A notice as typed.</summary>
public sealed class NoticeForm
{
    public string? Text { get; set; }
    public string? How { get; set; } = nameof(Announcement.SaleroomNotice);
    public string? Announced { get; set; }
    public string? Low { get; set; }
    public string? High { get; set; }
    public string? Currency { get; set; }

    /// <summary>All interests are stated anew.</summary>
    public bool Restated { get; set; }

    public List<string> Interests { get; set; } = [];
}

/// <summary>One lot: its text and notices, how it ended, what bidders had been told then; and how it is changed while it is open.</summary>
[MayUse(AccountRole.Cataloguer, AccountRole.Registrar, AccountRole.Auditor)]
public sealed class LotModel(Recorder recorder, SaleDesk desk, TimeProvider clock) : LotPage(recorder, desk)
{
    [BindProperty]
    public NoticeForm Notice { get; set; } = new();

    [BindProperty]
    public string? Ground { get; set; }

    [BindProperty]
    public string? Announced { get; set; }

    [BindProperty]
    public string? Reason { get; set; }

    [BindProperty]
    public string? NewNumber { get; set; }

    public override async Task<IActionResult> OnGetAsync()
    {
        if (!await Find()) return NotFound();
        var first = Lot.Bats[0];
        Seen = first.Reading.State.N;
        (Notice.Text, Notice.Currency, Notice.Announced) = (first.Text, (first.Low ?? first.High)?.Currency.Code ?? Currency, Today);
        Notice.Interests = [.. first.Interests.Select(i => i.ToString())];
        Announced = Today;
        return Page();
    }

    string Today => clock.GetUtcNow().UtcDateTime.ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture);

    /// <summary>The text, estimate or interests change, and bidders are told; or it is only said to them.</summary>
    public async Task<IActionResult> OnPostNoticeAsync()
    {
        if (!await Find() || !MayAct) return NotFound();
        var (by, how) = (Acting(), Word<Announcement>(Notice.How));
        Needed(how, "Notice.How", "Say how bidders were told.");
        var announced = how == Announcement.NotAnnounced ? null : Date(Notice.Announced, "Notice.Announced");
        var (low, high) = (Price(Notice.Low, Notice.Currency, "Notice.Low"), Price(Notice.High, Notice.Currency, "Notice.High"));
        var after = Text(Notice.Text);
        if (after is null) Refuse("Notice.Text", "A lot is not left without a text.", "Write the text as it stands from now on.");
        if (by is null || !ModelState.IsValid) return await Again();
        var interests = Notice.Restated ? Ticked<Interest>(Notice.Interests) : null;
        return await Did(Open, b => [new AmendLot(b.Lot.Entry, how!.Value, announced, interests, null, b.Text, after, low, high, null) { By = by }], "The lot is not open any more.")
            ? Done("The notice stands on the lot.", Head.TakesResults ? $"{Head.Address}/run?lot={Lot.Number}" : Address) : await Again();
    }

    public async Task<IActionResult> OnPostWithdrawAsync()
    {
        if (!await Find() || !MayAct) return NotFound();
        var (by, ground, announced) = (Acting(), Word<WithdrawalGround>(Ground), Date(Announced, nameof(Announced)));
        Needed(ground, nameof(Ground), "Say why it is withdrawn.");
        if (by is null || !ModelState.IsValid) return await Again();
        return await Did(Open, b => [new WithdrawLot(b.Lot.Entry, ground!.Value, announced, Text(Reason)) { By = by }], "The lot is not open any more.") ? Done($"Lot {Lot.Number} is withdrawn.", Address) : await Again();
    }

    /// <summary>Another number: taken out, and offered again under it in one act.</summary>
    public async Task<IActionResult> OnPostRenumberAsync()
    {
        if (!await Find() || !MayAct) return NotFound();
        var (by, number) = (Acting(), Text(NewNumber)?.ToUpperInvariant());
        Needed(number, nameof(NewNumber), "Give the new number.");
        if (number is not null && !await WasRecorded(Submission) && Lines.Any(l => l.Number == number && l.Standing != LotStanding.Withdrawn)) Refuse(nameof(NewNumber), $"Lot {number} of this sale is taken.", "Take a free one.");
        if (by is null || !ModelState.IsValid) return await Again();
        return await Did(Open, b =>
            [
                new WithdrawLot(b.Lot.Entry, WithdrawalGround.OfferedByMistake, null, null) { By = by },
                new ReofferLot(b.Lot.Entry, Head.InForce, number!, b.Lot.Bats, by, b.Interests, b.Lot.Grounds, b.Lot.Title, b.Text, b.Low, b.High, b.Reserve) { By = by },
            ], "The lot is not open any more.") ? Done($"Lot {Lot.Number} is lot {number} now.", $"{Head.Address}/lots/{number}") : await Again();
    }

    protected override string FieldOf(string code) => code switch
    {
        "announced-when" => "Notice.Announced",
        "house-owned-undisclosed" or "interests-unclear" => "Notice.Interests",
        "lot-number" => nameof(NewNumber),
        _ => "",
    };
}
