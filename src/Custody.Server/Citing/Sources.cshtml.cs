using System.Globalization;
using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Examining;
using Custody.Server.Readings;
using Custody.Server.Recording;
using Custody.Server.Web.Pages;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.Rendering;

namespace Custody.Server.Citing;

/// <summary>The sources of a bat with their standing; one more is cited, or one withdrawn.</summary>
[MayUse(AccountRole.Examiner, AccountRole.Cataloguer, AccountRole.Auditor)]
public sealed class SourcesModel(Recorder recorder, BenchDesk bench) : BatActPage(recorder, bench)
{
    [BindProperty]
    public SourceForm Source { get; set; } = new();

    public long? Blind { get; private set; }

    /// <summary>Auditors read and change nothing.</summary>
    public bool MayCite => Viewer.IsAny(AccountRole.Examiner, AccountRole.Cataloguer);

    public IEnumerable<(long Entry, Source State, SourceCited Fact)> Cited => Reading.State.Sources.ByEntry
        .Where(s => !Reading.State.Corrections.IsVoid(s.Key)).Select(s => (s.Key, s.Value, (SourceCited)Reading.Entries[(int)s.Key - 1].Fact));

    public bool IsWithdrawn(Source source) => Reading.State.Corrections.Stands(source.Withdrawn);

    public IEnumerable<SelectListItem> Earlier => CitedSources.Choices(Reading);

    /// <summary>Pictures on the bat's record by what they show: photographs of it, and pictures of sources cited already.</summary>
    public IEnumerable<SelectListItem> Pictures =>
    [
        .. CitedSources.Standing(Reading).Where(s => s.State.Picture is not null)
            .Select(s => new SelectListItem($"of the source of entry {s.Entry}: {CitedSources.NameOf(Reading, s.Entry)}", s.State.Picture!.Value.Text)),
        .. Reading.State.Photographs.ByEntry.Where(p => !Reading.State.Corrections.IsVoid(p.Key)).SelectMany(p => p.Value.Pictures
            .Select(x => new SelectListItem($"of the bat, entry {p.Key}: {Custody.Ledger.Words.Of(x.View.ToString())}", x.Released.Text))),
    ];

    public async Task<IActionResult> OnPostAsync()
    {
        if (!await Load() || !MayCite) return NotFound();
        var by = Acting();
        var (kind, standing, play) = (Word<SourceKind>(Source.Kind), Word<SourceStanding>(Source.Standing), Word<PlayShown>(Source.Play));
        Needed(kind, "Source.Kind", "Say what kind of thing it is.");
        Needed(standing, "Source.Standing", "Say how near what was seen stands to the thing itself.");
        Needed(play, "Source.Play", "Say whether it shows play.");
        Needed(Text(Source.Title), "Source.Title", "Give it a name to be found by.");
        var when = Date(Source.When, "Source.When");
        PictureHash? picture = null;
        if (Text(Source.Chosen) is { } chosen)
        {
            if (Pictures.Any(p => p.Value == chosen)) picture = new PictureHash(chosen);
            else Refuse("Source.Chosen", "This picture does not stand on the bat's record.", "Choose one that does.");
            if (Text(Source.Picture) is not null) Refuse("Source.Picture", "Two pictures are named.", "Choose one, or name one.");
        }
        else if (Text(Source.Picture) is { } hash)
        {
            if (Custody.Transparency.Hash.TryParse(hash, out _)) picture = new PictureHash(hash);
            else Refuse("Source.Picture", "This is not the name of a picture received here.", "Give its 43 characters.");
        }
        if (by is null || !ModelState.IsValid) return Page();
        var recorded = await Record(Stream, new CiteSource(
            kind!.Value, standing!.Value, play!.Value, when, Entry(Source.CopyOf), Entry(Source.SameOccasion), null, picture, Text(Source.Title)!, Text(Source.Holder), Text(Source.WhatItShows), null)
        { By = by });
        return recorded is null ? Page() : Done("The source is cited.", $"/bats/{Number}/sources");
    }

    public async Task<IActionResult> OnPostWithdrawAsync(long entry, string? ground, string? reason)
    {
        if (!await Load() || !MayCite) return NotFound();
        if (Acting() is not { } by) return Page();
        if (Word<SourceWithdrawalGround>(ground) is not { } why)
        {
            Refuse("", "A source is withdrawn on a ground.", "Choose one.");
            return Page();
        }
        return await Record(Stream, new WithdrawSource(entry, why, Text(reason)) { By = by }) is null
            ? Page() : Done($"The source of entry {entry} is withdrawn; what rests on it is open work now.", $"/bats/{Number}/sources");
    }

    protected override string FieldOf(string code) => code switch
    {
        "not-a-picture" => "Source.Play",
        "source-in-future" => "Source.When",
        _ => "",
    };

    protected override async Task<bool> Load()
    {
        if (!await base.Load()) return false;
        // Records of factory and club stand among the sources.
        Blind = await Bench.BlindTo(Reading, Stage.FactoryRecord, Viewer.Party, HttpContext.RequestAborted);
        return true;
    }
}
