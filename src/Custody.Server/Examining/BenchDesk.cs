using Custody.Bats;
using Custody.Server.Private;
using Custody.Server.Readings;

namespace Custody.Server.Examining;

/// <summary>One examination as a page of the bench sees it.</summary>
/// <param name="Mine">The viewer is its examiner.</param>
public sealed record BenchCase(Reading Reading, long N, BlindView View, Examination Examination, bool Mine)
{
    public StreamName Stream { get; } = StreamName.Parse(Reading.State.Id);

    public string Number => Reading.State.Registration!.ShortNumber;

    public string Address => $"/bats/{Number}/examinations/{N}";

    public bool Void => Reading.State.Corrections.IsVoid(N);

    public ExaminationOpened Opened => (ExaminationOpened)Reading.Entries[(int)N - 1].Fact;

    public Who Examiner => Reading.Who(Examination.Examiner);

    /// <summary>Entries that may be looked at now, in the order of recording.</summary>
    public IEnumerable<Noted> Seen => Reading.Entries.Where(e => View.Seen.Contains(e.N));
}

/// <summary>Finds what a page of the bench is about.</summary>
public sealed class BenchDesk(ReadingDesk desk, AliasBook aliases)
{
    /// <summary>The bat, as corrected; null when there is none of this number.</summary>
    public async Task<Reading?> Bat(string number, CancellationToken ct) =>
        await desk.HistoryOf(number, ct) is { } history && history.AsCorrected() is { State.Registration: not null } reading ? reading : null;

    /// <summary>The examination begun by entry <paramref name="n"/>; null when there is none.</summary>
    public async Task<BenchCase?> Case(string number, long n, PartyId? viewer, CancellationToken ct) =>
        await Bat(number, ct) is { } reading && reading.Blind(n) is { } view
            ? new BenchCase(reading, n, view, reading.State.Examinations.ByEntry[n], await IsAlias(reading, reading.State.Examinations.ByEntry[n].Examiner, viewer, ct))
            : null;

    /// <summary>Whether an alias of this bat is this party.</summary>
    public async Task<bool> IsAlias(Reading reading, Alias alias, PartyId? party, CancellationToken ct) =>
        party is not null && await AliasOf(reading, party, ct) == alias;

    /// <summary>The examination in fixed order that this party has open and to which a stage is still closed; null when there is none.</summary>
    public async Task<long?> BlindTo(Reading reading, Stage stage, PartyId? party, CancellationToken ct)
    {
        var open = reading.State.Examinations.ByEntry.Where(e => e.Value.Closed is null);
        // Hardly ever is one open: then nobody's alias needs to be looked up.
        if (party is null || !open.Any() || await AliasOf(reading, party, ct) is not { } own) return null;
        foreach (var (n, examination) in open)
        {
            if (examination.Examiner != own || reading.Blind(n) is not { Open: true, Blinding: Blinding.FixedOrder }) continue;
            // By accident or in turn: once it was opened, or anything later was, there is nothing left to hold back.
            if (!examination.Unmasked.Any(u => u.Stage >= stage && reading.State.Corrections.Stands(u.Entry))) return n;
        }
        return null;
    }

    /// <summary>What a party is called in this bat's history; null when it has no part in it.</summary>
    public async Task<Alias?> AliasOf(Reading reading, PartyId party, CancellationToken ct) =>
        await aliases.Of(StreamName.Parse(reading.State.Id), party, ct);
}
