using Custody.Bats;
using Custody.Server.Accounts;

namespace Custody.Server.Sheets;

/// <summary>An act that somebody can do on a bat now.</summary>
/// <param name="Address">Below the bat's own page.</param>
public sealed record BatAct(string Name, string Address, params AccountRole[] For);

/// <summary>Which acts make sense on a bat as it stands. Whether one is permitted is decided where it is recorded.</summary>
public static class BatActs
{
    public static IEnumerable<BatAct> Of(BatSheet sheet)
    {
        if (sheet.Ending is not null) yield break;
        if (sheet.Custody.State == LinkState.InTransit) yield return new("Receive it", "receive", AccountRole.Registrar);
        else yield return new("Hand it over", "release", AccountRole.Registrar);
        yield return new("Check that it is this bat", "identity", AccountRole.Registrar);
        yield return new("Photograph it", "photographs", AccountRole.Registrar, AccountRole.Examiner);
        yield return new("Print a label", "label", AccountRole.Registrar);
        yield return new("Place a hold", "hold", AccountRole.Registrar);
        yield return new("Open an examination", "examinations/open", AccountRole.Examiner);
        yield return new("Sources", "sources", AccountRole.Examiner);
        yield return new("Weight", "weight", AccountRole.Examiner);
        if (sheet.Opinions.Count > 0) yield return new("Review before regrading", "review", AccountRole.Examiner);
        if (!sheet.Consigned) yield return new("Consign it", "consign", AccountRole.Registrar, AccountRole.Cataloguer);
        if (sheet.Consigned && sheet.Lot is null && sheet.Sale is null) yield return new("Offer it in a sale", "offer", AccountRole.Cataloguer);
        yield return new("Check a text against it", "catalogue", AccountRole.Cataloguer);
        yield return new("Make a dossier", "dossier", AccountRole.Registrar, AccountRole.Owner);
    }
}
