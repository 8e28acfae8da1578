using Custody.Bats;
using Custody.Ledger;
using Microsoft.AspNetCore.Mvc.Rendering;

namespace Custody.Server.Grading;

/// <summary>What an opinion on a bat can rest on, as its record stands.</summary>
public sealed class OpinionChoices(Reading reading)
{
    public IEnumerable<(long Entry, string Says)> Examinations => reading.State.Examinations.ByEntry
        .Where(e => !Void(e.Key) && e.Value.Counts(reading.State.Corrections)).Select(e => (e.Key, $"{Words.Of(e.Value.From.ToString())}, {reading.Who(e.Value.Examiner).Name}"));

    public IEnumerable<(long Entry, string Says)> Sources => reading.State.Sources.ByEntry
        .Where(s => !Void(s.Key) && !reading.State.Corrections.Stands(s.Value.Withdrawn)).Select(s => (s.Key, $"{Words.Of(s.Value.Kind.ToString())}, {Words.Of(s.Value.Standing.ToString())}"));

    public IEnumerable<(long Entry, string Says)> Photographs => reading.State.Photographs.ByEntry
        .Where(p => !Void(p.Key)).Select(p => (p.Key, string.Join(", ", p.Value.Pictures.Select(x => Words.Of(x.View.ToString())).Distinct())));

    public IEnumerable<(long Entry, string Says)> Comparisons => reading.State.PictureComparisons.ByEntry
        .Where(c => !Void(c.Key) && reading.State.Corrections.Stands(c.Value.Compared)).Select(c => (c.Key, Words.Of(c.Value.Result.ToString()!)));

    public IEnumerable<(long Entry, string Says)> Treatments => reading.State.Treatments.ByEntry.Keys.Where(n => !Void(n)).Select(n => (n, "treated"));

    /// <summary>Lists of where the bat could have been that count.</summary>
    public IEnumerable<(long Entry, string Says)> Lists => reading.State.Datings.Lists.Keys
        .Where(n => Datings.Counts(reading.State, reading.State.Datings.Lists, n))
        .Select(n => (n, $"{((WhereaboutsListed)reading.Entries[(int)n - 1].Fact).Places.Count} places"));

    /// <summary>Opinions given here that a new one may take the place of.</summary>
    public IEnumerable<(long Entry, string Says)> Earlier => reading.Opinions().Opinions
        .Where(o => o is { Origin: OpinionOrigin.Given, Standing: not EntryStanding.Void }).Select(o => (o.Entry, $"{o.House.Name}{(o.IsPresent ? ", its present opinion" : "")}"));

    public static IEnumerable<SelectListItem> SupportWords { get; } =
        [.. StatedPairs.Words.Select(w => new SelectListItem(StatedPairs.Said(w.For, w.Word), w.Value))];

    bool Void(long n) => reading.State.Corrections.IsVoid(n);
}
