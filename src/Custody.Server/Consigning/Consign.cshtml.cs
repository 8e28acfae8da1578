using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Examining;
using Custody.Server.Readings;
using Custody.Server.Recording;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.Rendering;

namespace Custody.Server.Consigning;

/// <summary>A consignment as it is taken, as typed.</summary>
public sealed class ConsignForm
{
    /// <summary>Stream of the consignor.</summary>
    public string? Consignor { get; set; }

    public string? Attestation { get; set; } = nameof(Bats.Attestation.SignedPaper);
    public List<string> Interests { get; set; } = [];
    public string? Reserve { get; set; }
    public string? Currency { get; set; } = "USD";
    public string? Commission { get; set; }
    public string? Terms { get; set; }
    public string? Paper { get; set; }
}

/// <summary>A bat put with the house to be sold, and taken back from it.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Cataloguer)]
public sealed class ConsignModel(Recorder recorder, BenchDesk bench) : BatActPage(recorder, bench)
{
    [BindProperty]
    public ConsignForm Consigning { get; set; } = new();

    [BindProperty]
    public string? Ending { get; set; }

    [BindProperty]
    public string? Reason { get; set; }

    /// <summary>The consignment in force, by its entry; null when there is none.</summary>
    public (long Entry, BatConsigned Fact)? Open => Reading.State.Consignments.OpenFor(Reading.State.Title) is not { } open ? null
        : Reading.State.Consignments.ByEntry.Last(c => c.Value == open).Key is var n ? (n, (BatConsigned)Reading.Entries[(int)n - 1].Fact) : null;

    /// <summary>Holders of the title as asserted first, then everybody else whom the bat's history names.</summary>
    public IEnumerable<SelectListItem> People
    {
        get
        {
            var holders = Reading.State.Title.Shares.Keys.Select(a => Reading.Who(a).Name).ToHashSet(StringComparer.Ordinal);
            return BatParties.In(Reading).OrderBy(p => !holders.Contains(p.Name)).ThenBy(p => p.Name, StringComparer.Ordinal)
                .Select(p => new SelectListItem(holders.Contains(p.Name) ? $"{p.Name}, holds title as asserted" : p.Name, p.Party.ToString()));
        }
    }

    public async Task<IActionResult> OnPostAsync()
    {
        if (!await Load()) return NotFound();
        var by = Acting();
        var (consignor, attestation) = (BatParties.Read(Consigning.Consignor), Word<Attestation>(Consigning.Attestation));
        Needed(consignor, "Consigning.Consignor", "Say who consigns it.");
        Needed(attestation, "Consigning.Attestation", "Say how their word is attested.");
        var reserve = Amount(Consigning.Reserve, Consigning.Currency ?? "", "Consigning.Reserve");
        var commission = Measure(Consigning.Commission, "%", "Consigning.Commission");
        if (by is null || !ModelState.IsValid) return Page();
        ConsignBat command = new(
            consignor!, by, attestation!.Value, Ticked<Interest>(Consigning.Interests), reserve, commission, Text(Consigning.Terms), Text(Consigning.Paper))
        { By = by };
        return await Record(Stream, command) is null ? await Again() : Done("The bat is consigned. Title stays with the consignor.", $"/bats/{Number}/consign");
    }

    public async Task<IActionResult> OnPostEndAsync()
    {
        if (!await Load()) return NotFound();
        var (by, ending) = (Acting(), Word<ConsignmentEnding>(Ending));
        if (Open is not { } open) Refuse("", "No consignment of this bat is in force.", "Nothing is left to end.");
        else
        {
            Needed(ending, nameof(Ending), "Say why it ended.");
            if (by is not null && ModelState.IsValid && await Record(Stream, new EndConsignment(open.Entry, ending!.Value, Text(Reason)) { By = by }) is not null)
                return Done("The consignment is ended. The bat goes back by its own hand-over.", $"/bats/{Number}/consign");
        }
        return await Again();
    }

    protected override string FieldOf(string code) => code switch
    {
        "no-mandate" => "Consigning.Consignor",
        "consignor-unheard" => "Consigning.Attestation",
        "house-owned-undisclosed" => "Consigning.Interests",
        _ => "",
    };
}
