using Custody.Ledger;
using Custody.Server.Photographs;
using Custody.Server.Private;
using Custody.Transparency;

namespace Custody.Server.Dossiers;

/// <summary>The papers that a dossier carries: those whose hash its owner shows, as far as they are kept here.</summary>
static class Papers
{
    public static async Task<IReadOnlyList<DossierFile>> Named(IEnumerable<ShownValue> chosen, CoveredStore documents, CancellationToken ct)
    {
        List<DossierFile> files = [];
        foreach (var text in chosen.Select(v => (Disclosure.Parse(v.Disclosure).Value as Json.Str)?.Value).OfType<string>().Distinct().Order(StringComparer.Ordinal))
        {
            if (!Hash.TryParse(text, out var hash)) continue;
            var name = ContentHash.FromDigest(hash.ToArray());
            if (await documents.Read(name, ct) is not { } bytes) continue;
            files.Add(new DossierFile(text, Sniff.Ending(Sniff.Kind(bytes)), () => documents.Open(name, CancellationToken.None).GetAwaiter().GetResult()!));
        }
        return files;
    }
}
