using Custody.Bats;
using Custody.Server.Private;
using Custody.Transparency;
using Marten;

namespace Custody.Server.Recording;

/// <summary>Finds a bat by what people say of it.</summary>
public sealed class BatFinder(IDocumentStore store, WithheldValues withheld)
{
    /// <summary>The present state, by short number (hyphens and case do not matter) or stream name; null when there is none.</summary>
    public async Task<Bat?> Find(string said, CancellationToken ct)
    {
        await using var session = store.QuerySession();
        if (StreamName.TryParse(said, out var stream) || StreamName.TryParse("bat/" + said, out stream))
            return stream.Kind == "bat" ? await session.LoadAsync<Bat>(stream.ToString(), ct) : null;
        var number = said.Replace("-", "", StringComparison.Ordinal).ToUpperInvariant();
        return await session.Query<Bat>().Where(b => b.Registration!.ShortNumber == number).FirstOrDefaultAsync(ct);
    }

    /// <summary>The party behind an alias of a stream, for the house itself; null when erased.</summary>
    public async Task<PartyId?> Behind(StreamName stream, Alias alias, CancellationToken ct)
    {
        var place = $"/body/parties/{alias}";
        var value = (await withheld.Of(stream, ct)).FirstOrDefault(v => v.Pointer == place && v.Name == "partyStream");
        return value is not null && Disclosure.Parse(value.Disclosure).Value is Json.Str text ? PartyId.Parse(text.Value) : null;
    }
}
