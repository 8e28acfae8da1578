using System.Text.Json;
using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>The file <c>summary.json</c>: the state that the open fields of a history fold to, in canonical JSON. Anyone with the code of the
/// rules can fold the history and gets the same bytes.</summary>
public static class Summary
{
    /// <summary>The file's bytes.</summary>
    public static byte[] Write(Bat bat) => Jcs.Write(Jcs.Parse(JsonSerializer.SerializeToUtf8Bytes(bat, JsonText.Options)));
}
