using System.Diagnostics.CodeAnalysis;

namespace Custody.Evidence;

/// <summary>One band of a scale of charges: above From up to and including To (null: no limit), a rate in percent.</summary>
public sealed record Band(DecimalText From, DecimalText? To, DecimalText Percent);

/// <summary>How a band table is read; terms of sale say which.</summary>
public enum BandReading
{
    /// <summary>Each part of the price bears the rate of the band it lies in.</summary>
    Marginal,

    /// <summary>The whole price bears the rate of the band it ends in.</summary>
    WholePrice,
}

/// <summary>A checked scale of charges: bands from zero upwards, each beginning where the one before ends, the last without limit.</summary>
public sealed class BandTable
{
    static readonly DecimalText Hundredth = DecimalText.Parse("0.01");
    static readonly DecimalText Hundred = DecimalText.Parse("100");

    BandTable(IReadOnlyList<Band> bands, BandReading reading)
    {
        Bands = bands;
        Reading = reading;
    }

    /// <summary>The bands, ascending.</summary>
    public IReadOnlyList<Band> Bands { get; }

    /// <summary>How they are read.</summary>
    public BandReading Reading { get; }

    /// <summary>
    /// Checks a table. Refuses <c>bands-empty</c>, <c>bands-negative</c>, <c>bands-rate</c> (above 100 %), <c>bands-backwards</c>,
    /// <c>bands-gap</c> (also one below the first band or above the last) and <c>bands-overlap</c>.
    /// </summary>
    public static bool TryCreate(IReadOnlyList<Band> bands, BandReading reading, [NotNullWhen(true)] out BandTable? table,
        [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        refusal = bands.Count == 0 ? new("bands-empty", "The table has no bands.", "Give at least one band from 0 without limit.")
            : bands.Select(OfBand).FirstOrDefault(r => r is not null) ?? OfJoints(bands);
        table = refusal is null ? new BandTable([.. bands], reading) : null;
        return table is not null;
    }

    /// <summary>The charge on a price, exact and not rounded.</summary>
    public DecimalText On(DecimalText price) => (Reading == BandReading.Marginal
        ? Bands.Where(b => price > b.From).Aggregate(DecimalText.Zero, (sum, b) => sum + (Least(price, b.To) - b.From) * b.Percent)
        : price * Bands.First(b => b.To is null || price <= b.To).Percent) * Hundredth;

    static DecimalText Least(DecimalText price, DecimalText? limit) => limit is not null && limit < price ? limit : price;

    static EvidenceRefusal? OfBand(Band band) =>
        band.From.Sign < 0 || band.To is { Sign: < 0 } || band.Percent.Sign < 0
            ? new("bands-negative", "A band has a negative limit or rate.", "Limits and rates are zero or more.")
            : band.Percent > Hundred ? new("bands-rate", "A rate is above 100 percent.", "Give the rate in percent of the price.")
            : band.To is not null && band.To <= band.From ? new("bands-backwards", "A band ends where it begins or before.", "To is larger than From.")
            : null;

    static EvidenceRefusal? OfJoints(IReadOnlyList<Band> bands)
    {
        if (bands[0].From.Sign != 0)
            return Gap("The first band does not begin at 0.");
        for (var i = 1; i < bands.Count; i++)
        {
            if (bands[i - 1].To is null || bands[i].From < bands[i - 1].To!)
                return new("bands-overlap", "Two bands share part of the price.", "Each band begins where the one before ends.");
            if (bands[i].From > bands[i - 1].To!)
                return Gap("Between two bands part of the price has no rate.");
        }
        return bands[^1].To is null ? null : Gap("Above the last band the price has no rate.");
    }

    static EvidenceRefusal Gap(string sentence) => new("bands-gap", sentence, "Cover every price from 0 upwards.");
}
