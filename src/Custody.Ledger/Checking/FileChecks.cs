using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>Check 8: photographs are those the entries name, documents those whose hash is shown.</summary>
static class FileChecks
{
    internal static Outcome Fit(DossierContent content, IReadOnlyList<HistoryReading> readings, DisclosureCheck disclosures)
    {
        var named = readings.SelectMany(r => r.Lines).Where(l => l.Entry is not null)
            .SelectMany(l => Shapes.Open<PictureHash>(l.Entry!.Fact)).Select(p => p.Text).ToHashSet(StringComparer.Ordinal);
        foreach (var file in content.Photographs)
        {
            if (DossierLayout.PhotographPath(file.Sha256) != file.Path) return Outcome.Failed($"{file.Path} is not the picture its name says.");
            if (!named.Contains(file.Sha256)) return Outcome.Failed($"{file.Path} is named by no entry.");
            if (!file.IsJpeg) return Outcome.Failed($"{file.Path} is not a JPEG picture.");
        }
        foreach (var file in content.Documents)
        {
            if (!DossierLayout.IsDocumentOf(file.Path, file.Sha256)) return Outcome.Failed($"{file.Path} is not the document its name says.");
            if (!disclosures.ShownTexts.Contains(file.Sha256))
                return disclosures.Outcome.Result != CheckResult.Passed
                    ? Outcome.NotChecked("Without disclosures that fit no document can be told from another; see check 7.")
                    : Outcome.Failed($"{file.Path} fits no hash that this dossier shows.");
        }
        return Counted(named.Count, content);
    }

    static Outcome Counted(int named, DossierContent content)
    {
        var (pictures, documents) = (content.Photographs.Count, content.Documents.Count);
        var here = $"Photographs here: {pictures}, documents: {documents}; each is the one the entries speak of.";
        return pictures < named
            ? Outcome.NotChecked($"{here} Photographs named but not here: {named - pictures} of {named}. Ask the holder for them.")
            : Outcome.Passed(here);
    }
}
