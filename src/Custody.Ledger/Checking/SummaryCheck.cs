using System.Buffers.Text;
using System.Globalization;
using System.Text;
using Custody.Bats;

namespace Custody.Ledger;

/// <summary>Check 11: what the dossier says in short, and in words, is what its entries amount to.</summary>
static class SummaryCheck
{
    /// <param name="hasLost">Whether entries are, or were, gone: the files then say what is left, and that is no more than not checked.</param>
    /// <param name="page">Makes the page to read again; null when head or disclosures do not hold, from which it is made too.</param>
    internal static Outcome Equal(DossierContent content, Reading? open, Func<byte[]>? page, bool hasLost)
    {
        if (open is null) return Outcome.NotChecked("The history could not be decided again to its end; see check 10.");
        if (content.Summary is not { } summary) return Outcome.NotChecked("summary.json is missing.");
        var folded = Same("summary.json", summary, Summary.Version, () => Summary.Write(open));
        if (folded.HasFailed) return Outcome.Failed("summary.json is not what the entries amount to.");
        if (content.CallsItself != open.State.Registration?.ShortNumber)
            return Outcome.Failed($"The bag calls itself {content.CallsItself ?? "different things"}; the history is that of bat {open.State.Registration?.ShortNumber}.");
        if (page is null) return Outcome.NotChecked("summary.json is what the entries amount to. history.html cannot be made again: see checks 6 and 7.");
        Outcome[] read =
        [
            folded,
            Same("history.html", content.Page, HistoryPage.Version, page),
            Same("READ-ME.txt", content.ReadMe, ReadMe.Version, () => ReadMe.Bytes),
        ];
        return Array.Find(read, o => o.HasFailed) ?? Array.Find(read, o => o.Result == CheckResult.NotChecked)
            ?? (hasLost ? Outcome.NotChecked("summary.json and history.html are what the entries that are left amount to; what was lost may say otherwise, see check 10.")
                : Outcome.Passed("summary.json and history.html are what the entries amount to."));
    }

    // What people read is made again and compared, so that a forger cannot leave the entries alone and rewrite the page.
    static Outcome Same(string name, ReadOnlyMemory<byte>? file, string version, Func<byte[]> make)
    {
        if (file is not { } there) return Outcome.NotChecked($"{name} is missing.");
        if (IsLater(there.Span, version))
            return Outcome.NotChecked($"{name} is of a version that this checker cannot make again: do not rely on it; the entries are what counts.");
        return there.Span.SequenceEqual(make()) ? Outcome.Passed("") : Outcome.Failed($"{name} is not the one made from these entries: somebody rewrote it.");
    }

    /// <summary>Whether the file names a later version of its kind than this checker knows. Anything else is compared, and fails.</summary>
    static bool IsLater(ReadOnlySpan<byte> file, string version)
    {
        var slash = version.IndexOf('/', StringComparison.Ordinal) + 1;
        var at = file.IndexOf(Encoding.UTF8.GetBytes(version[..slash]));
        return at >= 0 && Utf8Parser.TryParse(file[(at + slash)..], out int number, out _)
            && number > int.Parse(version[slash..], CultureInfo.InvariantCulture);
    }
}
