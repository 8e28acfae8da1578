using System.Collections.Immutable;

namespace Custody.Bats;

/// <summary>A source taken out of a habit file or comparison file.</summary>
/// <param name="Occasion">Number of the source's entry in that file.</param>
/// <param name="By">The entry that withdrew it.</param>
public sealed record FileWithdrawal(long Occasion, Reference By, DateTimeOffset Recorded)
{
    /// <summary>Every withdrawal among a file's entries.</summary>
    public static IReadOnlyList<FileWithdrawal> In(IEnumerable<Entry> file) =>
    [
        .. file.Select(e => (Entry: e, Occasion: OccasionOf(e.Fact))).Where(w => w.Occasion is not null)
            .Select(w => new FileWithdrawal(w.Occasion!.Value, new(null, w.Entry.Envelope.Stream, w.Entry.N, w.Entry.Hash), w.Entry.Envelope.Recorded)),
    ];

    internal static long? OccasionOf(Fact? fact) => fact switch
    {
        OccasionWithdrawn w => w.Occasion,
        ComparisonOccasionWithdrawn w => w.Occasion,
        _ => null,
    };
}

/// <summary>An entry of this bat that rests, through an opinion, on a source of a file.</summary>
/// <param name="Entry">The opinion itself, or a lot's text, a label or another entry that rests on it.</param>
/// <param name="Version">The version of the file that the opinion cites, which counts that source.</param>
public sealed record RestsOnFile(long Entry, string Type, long Opinion, Reference Version, long Occasion, EntryStanding Standing);

/// <summary>Such an entry that waits to be confirmed, restated or withdrawn, because the source fell.</summary>
public sealed record FileFell(long Entry, string Type, long Opinion, long Occasion, Reference Cause);

/// <summary>What falls on a bat when a source of a file falls. The file knows nothing of the bats; an opinion names the version it used.</summary>
static class FileRipple
{
    /// <summary>Everything that rests on one source of a file, should it fall.</summary>
    internal static IReadOnlyList<RestsOnFile> Resting(Reading reading, StreamName file, long occasion) =>
    [
        .. reading.State.Opinions.ByEntry.SelectMany(o => o.Value.Files.Where(v => v.Ledger is null && v.Stream == file && v.N > occasion)
            .SelectMany(version => Of(reading, o.Key).Select(n => new RestsOnFile(n, reading[n].Fact.TypeName, o.Key, version, occasion, Standings.Of(reading, n)))))
            .Distinct().OrderBy(r => r.Entry).ThenBy(r => r.Opinion),
    ];

    /// <summary>What of that waits at a time: the source was withdrawn after the version was made, the entry still stands, and nothing recorded since has
    /// settled it.</summary>
    internal static IReadOnlyList<FileFell> Open(Reading reading, IReadOnlyList<FileWithdrawal> withdrawals, DateTimeOffset time) =>
    [
        .. withdrawals.Where(w => w.Recorded <= time).SelectMany(w => Resting(reading, w.By.Stream, w.Occasion)
            .Where(r => r.Version.N < w.By.N && r.Standing is EntryStanding.Stands or EntryStanding.Corrected && !Settled(reading, r.Entry, w))
            .Select(r => new FileFell(r.Entry, r.Type, r.Opinion, r.Occasion, w.By))).Distinct(),
    ];

    static IEnumerable<long> Of(Reading reading, long opinion) => [opinion, .. reading.State.Corrections.Dependents(opinion)];

    // A confirmation names what it was given in spite of; any other act that settles an entry does so from when it is recorded.
    static bool Settled(Reading reading, long entry, FileWithdrawal withdrawal) => reading.Entries.Any(e => !e.IsVoid && e.Fact.Settles.Contains(entry)
        && (e.Fact is EntryConfirmed2 confirmed ? confirmed.Cause == withdrawal.By : e.Recorded >= withdrawal.Recorded));

    /// <summary>The refusal when a confirmation's cause is no withdrawn source under this entry.</summary>
    internal static Refusal? Refuse(Bat bat, long confirmed, Reference cause, ICited cited)
    {
        var occasion = FileWithdrawal.OccasionOf(cited.Find(cause)?.Fact);
        return occasion is not null && bat.Opinions.ByEntry.Any(o => (o.Key == confirmed || bat.Corrections.Dependents(o.Key).Contains(confirmed))
            && o.Value.Files.Any(v => v.Ledger is null && v.Stream == cause.Stream && v.N > occasion && v.N < cause.N))
            ? null
            : new("not-open-work", $"Nothing that this cause withdrew lies under entry {confirmed}.", "Cite the withdrawal of a source that the opinion's version counts.");
    }
}
