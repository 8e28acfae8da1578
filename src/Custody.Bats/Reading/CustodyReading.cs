namespace Custody.Bats;

/// <summary>The chain of custody: who kept the bat, when it was on the way, and when nobody knew.</summary>
static class CustodyReading
{
    public static HoldingChain Read(Reading reading) => HoldingChain.Lay(reading, GapIn.Custody, [.. Acts(reading), .. Reports(reading)]);

    static IEnumerable<HoldingLink> Acts(Reading reading)
    {
        List<Noted> moved = [.. reading.Entries.Where(e => Moved(reading, e))];
        for (var i = 0; i < moved.Count; i++)
        {
            var (at, keeping) = (moved[i], reading.States[(int)moved[i].N].Keeping);
            var handover = HandoverOf(reading, at);
            yield return new HoldingLink(
                at.N, at.Fact.TypeName, LinkKind.Act,
                keeping.Custodian is not null ? LinkState.Held : keeping.InTransit is not null ? LinkState.InTransit : LinkState.NotKnown,
                keeping.Custodian is { } keeper ? [new HeldShare(reading.Who(keeper), null)] : [], at.When,
                i + 1 < moved.Count ? moved[i + 1].When : null, (at.Fact as BatRegistered)?.CustodyBasis, handover?.Given, handover?.Taken, [], [], null, []);
        }
    }

    static bool Moved(Reading reading, Noted at)
    {
        var (before, after) = (reading.States[(int)at.N - 1].Keeping, reading.States[(int)at.N].Keeping);
        return at.N == 1 || after.Custodian != before.Custodian || after.InTransit != before.InTransit;
    }

    /// <summary>The hand-over that this entry began or ended, as it stands now.</summary>
    static Handover? HandoverOf(Reading reading, Noted at) =>
        (reading.States[(int)at.N].Keeping.InTransit ?? reading.States[(int)at.N - 1].Keeping.InTransit) is { } n
            ? reading.State.Keeping.Handovers.GetValueOrDefault(n)
            : null;

    static IEnumerable<HoldingLink> Reports(Reading reading) => reading.Standing<CustodyReported>().Select(r => new HoldingLink(
        r.At.N, r.Fact.TypeName, LinkKind.Report, LinkState.Held, [new HeldShare(reading.Who(r.Fact.Keeper), null)], r.Fact.From, r.Fact.Until,
        r.Fact.Basis, null, null, r.Fact.Irregularities, r.Fact.From is null ? [LinkRemark.Undated] : [], null, []));
}
