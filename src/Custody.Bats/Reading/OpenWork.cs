using Custody.Evidence;

namespace Custody.Bats;

/// <summary>An entry to be confirmed, restated or withdrawn, and what fell under it.</summary>
public sealed record OpenEntry(long Entry, string Type, long Cause, string CauseType);

/// <summary>A hand-over that nobody has received.</summary>
/// <param name="Days">Whole days since the release was recorded.</param>
public sealed record NotReceived(long Entry, HandoverStanding Standing, Who From, Who To, Who? Carrier, Edtf? Due, int Days);

/// <summary>A loan whose day of return has certainly passed while the bat is still with the borrower.</summary>
public sealed record OverdueLoan(long Entry, Who Lender, Who Borrower, Edtf Due);

/// <summary>A hold whose review day has come.</summary>
public sealed record HoldDue(long Entry, HoldGround Ground, Edtf Review);

public sealed record ExaminationLeftOpen(long Entry, Who Examiner, Who House, DateTimeOffset Opened, bool Locked);

/// <summary>A sale that was agreed and waits for payment or title.</summary>
public sealed record SaleWaiting(long Entry, SaleChannel Channel, Who Buyer, bool PaidInFull);

/// <summary>A mix-up and the entries it leaves in doubt.</summary>
public sealed record MixUpOpen(long Entry, IReadOnlyList<long> Unsettled, bool Placed);

/// <summary>What waits to be done on a bat at a given time.</summary>
public sealed record OpenWork(
    DateTimeOffset At, IReadOnlyList<OpenEntry> Entries, IReadOnlyList<NotReceived> NotReceived, IReadOnlyList<OverdueLoan> OverdueLoans,
    IReadOnlyList<HoldDue> HoldsDue, IReadOnlyList<ExaminationLeftOpen> Examinations, IReadOnlyList<SaleWaiting> Sales,
    IReadOnlyList<MixUpOpen> MixUps, IReadOnlyList<long> OpenClaims, IReadOnlyList<long> Missing, IReadOnlyList<DamageFound> NewDamage, IReadOnlyList<FileFell> FilesFell)
{
    internal static OpenWork Read(Reading reading, DateTimeOffset time, IReadOnlyList<FileWithdrawal> withdrawals)
    {
        var bat = reading.State;
        var today = DateOnly.FromDateTime(time.UtcDateTime);
        return new OpenWork(
            time,
            [.. bat.Corrections.Open.Where(i => !bat.Corrections.IsVoid(i.Entry)).OrderBy(i => i.Entry).ThenBy(i => i.Cause)
                .Select(i => new OpenEntry(i.Entry, reading[i.Entry].Fact.TypeName, i.Cause, reading[i.Cause].Fact.TypeName))],
            [.. InTransit(reading, time)], [.. Overdue(reading, today)],
            [.. bat.Holds.ByEntry.Where(h => !h.Value.Lifted && h.Value.Review is { } review && !review.CertainlyAfter(today))
                .Select(h => new HoldDue(h.Key, h.Value.Ground, h.Value.Review!))],
            [.. bat.Examinations.ByEntry.Where(e => !bat.Corrections.IsVoid(e.Key) && !bat.Corrections.Stands(e.Value.Closed))
                .Select(e => new ExaminationLeftOpen(
                    e.Key, reading.Who(e.Value.Examiner), reading.Who(e.Value.House), reading[e.Key].Recorded, bat.Corrections.Stands(e.Value.Locked)))],
            [.. bat.Sales.ByEntry.Where(s => s.Value.Standing == SaleStanding.Agreed)
                .Select(s => new SaleWaiting(s.Key, s.Value.Channel, reading.Who(s.Value.Buyer), s.Value.PaidInFull))],
            [.. Bats.MixUps.Open(bat).Select(n => new MixUpOpen(n, Bats.MixUps.Unsettled(bat, n), bat.Identity.MixUps[n].Placed))],
            [.. bat.Claims.OpenClaims], [.. bat.Claims.OpenMissing], [.. Bats.NewDamage.In(bat)], FileRipple.Open(reading, withdrawals, time));
    }

    /// <summary>Whether there is, or on some later day will be, anything in this list. The day decides only what is due.</summary>
    internal static bool MayWait(Bat bat) =>
        bat.Corrections.Open.Any(i => !bat.Corrections.IsVoid(i.Entry)) || bat.Keeping.InTransit is not null
        || (bat.Keeping.Handovers.LastOrDefault().Value is { Purpose: HandoverPurpose.Loan, Standing: HandoverStanding.Received } loan && bat.Keeping.Custodian == loan.To)
        || bat.Holds.ByEntry.Values.Any(h => !h.Lifted && h.Review is not null)
        || bat.Examinations.ByEntry.Any(e => !bat.Corrections.IsVoid(e.Key) && !bat.Corrections.Stands(e.Value.Closed))
        || bat.Sales.Agreed is not null || Bats.MixUps.Open(bat).Any() || bat.Claims.OpenClaims.Any() || bat.Claims.OpenMissing.Any()
        || Bats.NewDamage.In(bat).Any();

    static IEnumerable<NotReceived> InTransit(Reading reading, DateTimeOffset time)
    {
        if (reading.State.Keeping.InTransit is not { } n) yield break;
        var open = reading.State.Keeping.Handovers[n];
        yield return new NotReceived(
            n, open.Standing, reading.Who(open.From), reading.Who(open.Bound), reading.WhoMaybe(open.Carrier), open.Due,
            (int)(time - reading[n].Recorded).TotalDays);
    }

    // The borrower still has it: custody has not moved since it was received under that very loan.
    static IEnumerable<OverdueLoan> Overdue(Reading reading, DateOnly today)
    {
        var keeping = reading.State.Keeping;
        if (keeping.Handovers.LastOrDefault() is not { Key: > 0, Value: { Purpose: HandoverPurpose.Loan, Standing: HandoverStanding.Received, Due: { } due } loan } last
            || keeping.Custodian != loan.To || !due.CertainlyBefore(today)) yield break;
        yield return new OverdueLoan(last.Key, reading.Who(loan.From), reading.Who(loan.To), due);
    }
}
