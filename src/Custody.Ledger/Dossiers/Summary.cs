using System.Text.Json;
using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>The file <c>summary.json</c>: the bat sheet that the open fields of a history amount to, corrected, in canonical JSON. Anyone with the
/// code of the rules can fold the history and gets the same bytes.</summary>
public static class Summary
{
    /// <summary>The file's bytes.</summary>
    /// <param name="open">The history with nothing shown.</param>
    public static byte[] Write(Reading open) => Jcs.Write(Jcs.Parse(JsonSerializer.SerializeToUtf8Bytes(open.Sheet(), JsonText.Options)));
}
