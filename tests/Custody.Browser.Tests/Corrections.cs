using Custody.Bats;
using Custody.Evidence;
using Custody.Ledger.Tests;

namespace Custody.Browser.Tests;

/// <summary>Lives in which a later entry says something else of an earlier one.</summary>
static class Corrections
{
    public static void Make(TestStream<Bat> bat, string name)
    {
        bat.Do(new ReportIncident(default, default, null, AssertionBasis.Letter, [Irregularity.NotByTheOwner], null, "a barn", "it fell", null) { By = TestDossier.Owner, Occurred = Edtf.Parse("1960?") });
        var incident = bat.Lines[^1].N;
        switch (name)
        {
            case "occurred":
                bat.Do(Clerical(bat, incident, "/occurred", OpenValue.None with { Date = Edtf.Parse("1931/1932") }, null));
                break;
            case "open":
                bat.Do(Clerical(bat, incident, "/body/kind", OpenValue.None with { Words = ["loss"] }, null));
                bat.Do(Clerical(bat, incident, "/body/irregularities", OpenValue.None, null));
                break;
            case "withheld, shown" or "withheld, not shown":
                bat.Do(Clerical(bat, incident, "/body/place", null, new(Text: "a stable")));
                break;
            case "void":
                bat.Do(new CorrectEntry(CorrectionKind.DidNotHappen, bat.Reference(incident), null, null, null, null, null, "another bat was meant") { By = TestDossier.House });
                break;
            default:
                bat.Do(new VoidLabel(3, LabelEndGround.Lost, null) { By = TestDossier.House });
                bat.Do(new CorrectEntry(CorrectionKind.DidNotHappen, bat.Reference(bat.Lines[^1].N), null, null, null, null, null, "found again") { By = TestDossier.House });
                break;
        }
    }

    static CorrectEntry Clerical(TestStream<Bat> bat, long n, string pointer, OpenValue? open, WithheldValue? withheld) =>
        new(CorrectionKind.Clerical, bat.Reference(n), pointer, open, withheld, null, null, null) { By = TestDossier.House };
}
