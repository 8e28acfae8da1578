namespace Custody.Bats;

/// <summary>The chain of title as asserted and as reported.</summary>
static class TitleReading
{
    public static HoldingChain Read(Reading reading) => HoldingChain.Lay(reading, GapIn.Title, [.. Acts(reading), .. Reports(reading)]);

    // One link for every entry that moved the title; the next one ends it.
    static IEnumerable<HoldingLink> Acts(Reading reading)
    {
        List<Noted> moved = [.. reading.Entries.Where(e => Moved(reading, e))];
        for (var i = 0; i < moved.Count; i++)
        {
            var (at, title) = (moved[i], reading.States[(int)moved[i].N].Title);
            yield return new HoldingLink(
                at.N, at.Fact.TypeName, LinkKind.Act, title.Shares.IsEmpty ? LinkState.NotKnown : LinkState.Held,
                [.. title.Shares.Select(s => new HeldShare(reading.Who(s.Key), s.Value))], at.When, i + 1 < moved.Count ? moved[i + 1].When : null,
                BasisOf(at.Fact), null, null, [], title.Standing == TitleStanding.Disputed ? [LinkRemark.AmongDisputes] : [], null, []);
        }
    }

    static bool Moved(Reading reading, Noted at)
    {
        var (before, after) = (reading.States[(int)at.N - 1].Title, reading.States[(int)at.N].Title);
        return at.N == 1 || after.Since != before.Since || !after.Shares.SequenceEqual(before.Shares);
    }

    static AssertionBasis? BasisOf(Fact fact) => fact switch
    {
        BatRegistered registered => registered.TitleBasis,
        BatAcquired acquired => acquired.Basis,
        ClaimResolved resolved => resolved.Basis,
        _ => null,
    };

    static IEnumerable<HoldingLink> Reports(Reading reading)
    {
        List<(Noted At, AcquisitionReported Fact)> reports = [.. reading.Standing<AcquisitionReported>()];
        foreach (var (at, fact) in reports)
        {
            List<LinkRemark> remarks = [];
            if (fact.From is null) remarks.Add(LinkRemark.Undated);
            // Whoever it is said to come from should be told of as a holder somewhere.
            if (fact.OutOf is { } seller && !reports.Any(r => r.At.N != at.N && r.Fact.Holder == seller)) remarks.Add(LinkRemark.NotFromTheHolderBefore);
            yield return new HoldingLink(
                at.N, fact.TypeName, LinkKind.Report, LinkState.Held, [new HeldShare(reading.Who(fact.Holder), fact.Share)], fact.From, fact.Until,
                fact.Basis, null, null, fact.Irregularities, remarks, null, []);
        }
    }
}
