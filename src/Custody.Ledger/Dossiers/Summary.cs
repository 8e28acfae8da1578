using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>The file <c>summary.json</c>: the bat sheet that the open fields of a history amount to, corrected, in canonical JSON, under a version.
/// Anyone with the code of the rules can fold the history and gets the same bytes.</summary>
public static class Summary
{
    /// <summary>Stands in the file. A sheet that is written otherwise is a new version: a checker compares only the one it knows, so that an old
    /// dossier never fails for what this code learned later.</summary>
    public const string Version = "custody-summary/1";

    /// <summary>The file's bytes.</summary>
    /// <param name="open">The history with nothing shown.</param>
    public static byte[] Write(Reading open) => Jcs.Write(new ObjBuilder
    {
        { "sheet", SheetJson.Of(open.Sheet(), typeof(BatSheet)) },
        { "v", Version },
    }.Build());
}
