using Custody.Bats;

namespace Custody.Server.Readings;

/// <summary>A bat named in an answer about many.</summary>
public sealed record NamedBat(string Stream, string ShortNumber)
{
    internal static NamedBat Of(Reading reading) => new(reading.State.Id, reading.State.Registration!.ShortNumber);
}

/// <summary>One bat in one lot of a sale, with how it ended and what bidders had been told then.</summary>
public sealed record LotResult(NamedBat Bat, LotRead Lot, IReadOnlyList<SaleRead> Sales);

/// <summary>The results and notices of one sale, by lot number.</summary>
public sealed record SaleResults(string Sale, IReadOnlyList<LotResult> Lots)
{
    internal static SaleResults Of(StreamName sale, IEnumerable<Reading> bats) => new(
        sale.ToString(),
        [
            .. bats.SelectMany(reading => reading.Lots() is var history
                    ? history.Lots.Where(l => l.Terms.Stream == sale).Select(l => new LotResult(NamedBat.Of(reading), l, [.. history.Sales.Where(s => s.Lot == l.Entry)]))
                    : [])
                .OrderBy(l => l.Lot.Number, Selling.LotNumbers.InOrder).ThenBy(l => l.Bat.Stream, StringComparer.Ordinal),
        ]);
}

/// <summary>What a party is to one bat now.</summary>
public sealed record Holding(NamedBat Bat, Fraction? Title, TitleStanding TitleStanding, bool Keeps, bool InTransitToOrFrom);

/// <summary>Everything a party holds title to or keeps.</summary>
public sealed record Holdings(IReadOnlyList<Holding> Bats)
{
    internal static Holdings Of(IEnumerable<(Reading Reading, Alias Alias)> bats) => new(
        [.. bats.Select(b => Of(b.Reading, b.Alias)).Where(h => h.Title is not null || h.Keeps || h.InTransitToOrFrom)]);

    static Holding Of(Reading reading, Alias alias)
    {
        var bat = reading.State;
        var transit = bat.Keeping.InTransit is { } n ? bat.Keeping.Handovers[n] : null;
        return new(
            NamedBat.Of(reading), bat.Title.Shares.GetValueOrDefault(alias), bat.Title.Standing, bat.Keeping.Custodian == alias,
            transit is not null && (transit.From == alias || transit.To == alias));
    }
}

/// <summary>One opinion that an examiner, or an examining house, gave.</summary>
public sealed record OpinionOnBat(NamedBat Bat, OpinionRead Opinion);

/// <summary>An examiner's record: every opinion, none left out, with what became of it. One may count under several heads.</summary>
/// <param name="Given">Given here under the rules and not void.</param>
/// <param name="Reported">Given elsewhere, as somebody reported.</param>
/// <param name="Present">Their house's present opinion.</param>
/// <param name="Revised">A later opinion of the same house took their place.</param>
/// <param name="Opposed">A later opinion of another house takes the opposite side.</param>
/// <param name="Void">Recorded by mistake: they did not happen, or concern another bat.</param>
/// <param name="OpenWork">Something they rest on fell, and that is not settled.</param>
public sealed record ExaminersRecord(
    int Given, int Reported, int Present, int Revised, int Withdrawn, int Opposed, int Void, int OpenWork, IReadOnlyList<OpinionOnBat> Opinions)
{
    internal static ExaminersRecord Of(IEnumerable<(Reading Reading, Alias Alias)> bats)
    {
        List<OpinionOnBat> opinions =
        [
            .. bats.SelectMany(b => b.Reading.Opinions() is var history
                ? history.Opinions.Where(o => o.House.Alias == b.Alias || o.Examiners.Any(e => e.Alias == b.Alias))
                    .Select(o => new OpinionOnBat(NamedBat.Of(b.Reading), o))
                : []),
        ];
        List<OpinionRead> counting = [.. opinions.Select(o => o.Opinion).Where(o => o.Standing != EntryStanding.Void)];
        return new(
            counting.Count(o => o.Origin == OpinionOrigin.Given), counting.Count(o => o.Origin == OpinionOrigin.Reported), counting.Count(o => o.IsPresent),
            counting.Count(o => o.RevisedBy.Count > 0), counting.Count(o => o.Standing == EntryStanding.Withdrawn), counting.Count(o => o.OpposedBy.Count > 0),
            opinions.Count - counting.Count, counting.Count(o => o.IsOpenWork), opinions);
    }
}

/// <summary>What waits on one bat.</summary>
public sealed record WorkOnBat(NamedBat Bat, OpenWork Work);

/// <summary>What of one bat rests on a source of a file.</summary>
public sealed record RippleOnBat(NamedBat Bat, IReadOnlyList<RestsOnFile> Rests);
