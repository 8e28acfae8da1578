using Custody.Bats;
using Custody.Server.Private;
using Custody.Transparency;
using Marten;

namespace Custody.Server.Recording;

/// <summary>Finds a bat by what people say of it.</summary>
public sealed class BatFinder(IDocumentStore store, WithheldValues withheld)
{
    /// <summary>There is none of what was said.</summary>
    public static Refusal Unknown(string? said) =>
        new("unknown-bat", $"There is no bat {said} in this ledger.", "Give the short number on its label, or the stream's name.");

    /// <summary>The present state, by short number (hyphens and case do not matter) or stream name; null when there is none.</summary>
    public async Task<Bat?> Find(string said, CancellationToken ct)
    {
        await using var session = store.QuerySession();
        if (StreamName.TryParse(said, out var stream) || StreamName.TryParse("bat/" + said, out stream))
            return stream.Kind == "bat" ? await session.LoadAsync<Bat>(stream.ToString(), ct) : null;
        var number = NumberOf(said);
        return await session.Query<Bat>().Where(b => b.Registration!.ShortNumber == number).FirstOrDefaultAsync(ct);
    }

    /// <summary>Its stream alone, for who reads the entries themselves: of a bat named by its stream nothing is asked yet.</summary>
    public async Task<StreamName?> StreamOf(string said, CancellationToken ct)
    {
        if (StreamName.TryParse(said, out var stream) || StreamName.TryParse("bat/" + said, out stream)) return stream.Kind == "bat" ? stream : null;
        await using var session = store.QuerySession();
        var number = NumberOf(said);
        return await session.Query<Bat>().Where(b => b.Registration!.ShortNumber == number).Select(b => b.Id).FirstOrDefaultAsync(ct) is { } id ? StreamName.Parse(id) : null;
    }

    static string NumberOf(string said) => said.Replace("-", "", StringComparison.Ordinal).ToUpperInvariant();

    /// <summary>The party behind an alias of a stream, for the house itself; null when erased.</summary>
    public async Task<PartyId?> Behind(StreamName stream, Alias alias, CancellationToken ct)
    {
        var place = $"/body/parties/{alias}";
        var value = (await withheld.Of(stream, ct)).FirstOrDefault(v => v.Pointer == place && v.Name == "partyStream");
        return value is not null && Disclosure.Parse(value.Disclosure).Value is Json.Str text ? PartyId.Parse(text.Value) : null;
    }
}
