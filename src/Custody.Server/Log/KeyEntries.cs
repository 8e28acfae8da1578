using System.Globalization;
using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Recording;
using Custody.Transparency;

namespace Custody.Server.Log;

/// <summary>The entries that changed the log's key, as files beside the log too: a database that came back without one would go on naming a key that signs no
/// more, and nobody's dossier could be followed from the old key to the new one.</summary>
public sealed class KeyEntries(LedgerPlace place)
{
    string PathOf(long n) => Path.Combine(place.Folder("log"), "key-entries", n.ToString(CultureInfo.InvariantCulture));

    /// <summary>Keeps those that are not kept yet. Called after each change of key before anything is published under the new one, and at every start.</summary>
    /// <param name="lines">The ledger's own stream from its first entry on.</param>
    public void Keep(IReadOnlyList<byte[]> lines)
    {
        for (var n = 2; n <= lines.Count; n++)
            if (!Gone.IsOne(lines[n - 1]) && !File.Exists(PathOf(n)) && EntryForm.Read(lines[n - 1]).Type is nameof(KeyRotated) or nameof(KeyCompromised))
                Durable.Write(PathOf(n), lines[n - 1]);
    }

    /// <summary>The entry of this hash; null when it is not kept, as when it changed no key.</summary>
    public byte[]? Of(long n, Hash entry) => File.Exists(PathOf(n)) && File.ReadAllBytes(PathOf(n)) is var line && Hash.Of(line) == entry ? line : null;
}
