using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>Check 12: which labels this history issued, and whether a label in hand is one of them.</summary>
static class LabelCheck
{
    /// <param name="label">What stands on the label, as typed or scanned; null when none is compared.</param>
    internal static Outcome Labels(HistoryReading reading, Bat? bat, string? label)
    {
        if (bat is null) return Outcome.NotChecked("The history could not be decided again to its end; see check 10.");
        var issued = reading.History.Lines.Where(l => l.Entry?.Fact is LabelIssued).ToDictionary(l => l.Entry!.N, l => Code(l.Entry!.Hash));
        if (reading.Lines.Where(l => l.Hash is not null).GroupBy(l => Code(l.Hash!)).FirstOrDefault(g => g.Count() > 1) is { } twice)
            return Outcome.Failed($"Two entries begin with the same 128 bits, so the label {twice.Key} names both.");
        var good = issued.Where(l => bat.Labels.IsGood(l.Key, bat.Corrections)).ToDictionary();
        // What is gone may have been a label, or the end of one.
        var gone = reading.History.Lines.Where(l => l.Gone is not null).Select(l => Code(l.Hash!)).ToList();
        Outcome Standing(string reason) => gone.Count == 0 ? Outcome.Passed(reason) : Outcome.NotChecked($"{reason} But entries are gone, and one of them may have ended it: ask online.");
        if (label is null)
        {
            return issued.Count == 0
                ? Outcome.NotChecked("No label was issued in this history.")
                : Standing($"{issued.Count} issued here, in force: {(good.Count == 0 ? "none" : string.Join(", ", good.Values))}. Compare with the label on the bat (--label).");
        }
        if (!Crockford.TryDecode(label, out var bits)) return Outcome.Failed("What was given is not what stands on a label: 26 letters and digits.");
        var written = Crockford.Encode(bits);
        if (gone.Contains(written)) return Outcome.NotChecked($"The label {written} bears the beginning of an entry that is gone: ask online.");
        if (!issued.ContainsValue(written)) return Outcome.Failed($"The label {written} was not issued in this history.");
        return good.ContainsValue(written)
            ? Standing($"The label {written} was issued here and is in force. A label can be moved or copied: compare the bat itself.")
            : Outcome.Failed($"The label {written} was issued here and is void.");
    }

    /// <summary>The first 128 bits of the entry hash, as they stand on the label.</summary>
    static string Code(string hash) => Crockford.Encode(Hash.Parse(hash).ToArray().AsSpan(0, 16));
}
