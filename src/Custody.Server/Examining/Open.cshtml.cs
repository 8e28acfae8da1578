using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Accounts;
using Custody.Server.Readings;
using Custody.Server.Recording;
using Custody.Server.Web.Pages;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.Examining;

/// <summary>An examination as it is begun, as typed.</summary>
public sealed class OpeningForm
{
    public string? House { get; set; }
    public string? From { get; set; } = nameof(ExaminedFrom.BatInHand);
    public string? Blinding { get; set; } = nameof(Bats.Blinding.FixedOrder);
    public List<string> KnownBefore { get; set; } = [];
    public string? ProposedBy { get; set; } = nameof(Bats.ProposedBy.NobodyYet);
    public string? FilesSearched { get; set; }
    public string? Known { get; set; }
    public string? Purpose { get; set; }
    public string? Place { get; set; }
}

/// <summary>Begins an examination: what is known already is stated before anything is looked at.</summary>
[MayUse(AccountRole.Examiner)]
public sealed class OpenModel(Recorder recorder, BenchDesk bench) : BatActPage(recorder, bench)
{
    [BindProperty]
    public OpeningForm Opening { get; set; } = new();

    public async Task<IActionResult> OnPostAsync()
    {
        if (!await Load()) return NotFound();
        var by = Acting();
        var house = BatParties.Read(Opening.House) ?? by;
        var (from, blinding, proposed) = (Word<ExaminedFrom>(Opening.From), Word<Blinding>(Opening.Blinding), Word<ProposedBy>(Opening.ProposedBy));
        Needed(from, "Opening.From", "Say what lies before you.");
        Needed(blinding, "Opening.Blinding", "Say whether the order is kept.");
        Needed(proposed, "Opening.ProposedBy", "Say how the player came to be proposed.");
        long? searched = null;
        if (Text(Opening.FilesSearched) is { } files)
        {
            if (Typed.Whole(files) is { } count) searched = count;
            else Refuse("Opening.FilesSearched", "This is no number of files.", "Give a whole number.");
        }
        if (!ModelState.IsValid || by is null) return Page();
        long[] photographs = from == ExaminedFrom.PicturesOnly
            ? [.. Reading.State.Photographs.ByEntry.Keys.Where(n => !Reading.State.Corrections.IsVoid(n))] : [];
        var recorded = await Record(Stream, new OpenExamination(
            by, house!, from!.Value, blinding!.Value, Ticked<KnownBefore>(Opening.KnownBefore), proposed!.Value, searched, photographs, Text(Opening.Known), Text(Opening.Purpose), Text(Opening.Place))
        { By = by });
        return recorded is null ? Page() : Done("The examination is open. Look at the bat first.", $"/bats/{Number}/examinations/{recorded.Entries[0].N}");
    }

    protected override string FieldOf(string code) => code switch
    {
        "no-photographs" => "Opening.From",
        "search-not-counted" => "Opening.FilesSearched",
        _ => "",
    };
}
