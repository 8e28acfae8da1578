using System.Globalization;
using Custody.Bats;

namespace Custody.Ledger;

/// <summary>Check 15: the amounts of each sale add up, as far as they are shown. Apart from deciding again, because rules read open fields only and every amount is
/// withheld.</summary>
static class AmountsCheck
{
    internal const int Number = 15;

    /// <param name="shown">The history with the values that are shown; null when it was not decided again to its end.</param>
    /// <param name="opened">An entry of the context with what is shown of it.</param>
    internal static Outcome Of(HistoryReading reading, Reading? shown, Func<HistoryLine, Entry?> opened)
    {
        if (shown is null) return Outcome.NotChecked("The history could not be decided again; see check 10.");
        var accounts = shown.Accounts(reference => Terms(reading, reference, opened));
        if (accounts.Count == 0) return Outcome.Passed("The history holds no sale.");
        if (accounts.FirstOrDefault(a => a.Standing == AmountStanding.DoesNotAddUp) is { } wrong)
        {
            var amount = wrong.Amounts.First(a => a.Standing == AmountStanding.DoesNotAddUp);
            return Outcome.Failed($"The {amount.What} of the sale of entry {Text(wrong.Sale)} does not add up. {amount.Why}");
        }
        var added = accounts.Count(a => a.Standing == AmountStanding.AddsUp);
        return added == accounts.Count
            ? Outcome.Passed($"The amounts of {Sales(added)} add up.")
            : Outcome.NotChecked($"The amounts of {Sales(accounts.Count - added)} are not all shown, or the terms do not tell them; those of {Sales(added)} add up.");
    }

    static ISaleTerms? Terms(HistoryReading reading, Reference reference, Func<HistoryLine, Entry?> opened) =>
        reading.Context.Lines.FirstOrDefault(l => l.Entry is { } entry && entry.Hash == reference.Hash && entry.Envelope.Stream == reference.Stream && entry.N == reference.N) is { } line
            ? opened(line)?.Fact as ISaleTerms : null;

    static string Sales(int count) => count == 1 ? "1 sale" : $"{Text(count)} sales";

    static string Text(long n) => n.ToString(CultureInfo.InvariantCulture);
}
