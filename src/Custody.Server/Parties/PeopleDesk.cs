using Custody.Bats;
using Custody.Server.Examining;
using Custody.Server.Finding;
using Custody.Server.Private;
using Custody.Server.Recording;
using Custody.Server.Web.Pages;
using Custody.Transparency;
using Marten;

namespace Custody.Server.Parties;

/// <summary>Somebody whom a name fits.</summary>
/// <param name="Address">As last recorded; null when never said. It tells two of one name apart.</param>
public sealed record PersonFound(PartyId Party, string Name, PartyKind Kind, string? Address);

/// <param name="More">There are more than are shown; more of the name finds fewer.</param>
public sealed record PeopleFound(IReadOnlyList<PersonFound> People, bool More);

/// <summary>Finds people and firms by the beginnings of their names, and reads whom a form means.</summary>
public sealed class PeopleDesk(SearchIndex index, IDocumentStore store, WithheldValues withheld, Recorder recorder, Drawing drawing)
{
    const int Most = 8;

    /// <summary>Those whose names begin with the words typed, by name. Whoever was erased, or whose data are restricted, is not shown.</summary>
    public async Task<PeopleFound> Find(string? typed, CancellationToken ct)
    {
        var found = await index.FindParties(typed ?? "", ct);
        var people = (await Known(found, ct)).OrderBy(p => p.Name, StringComparer.OrdinalIgnoreCase).ThenBy(p => p.Party.ToString(), StringComparer.Ordinal).ToList();
        return new([.. people.Take(Most)], people.Count > Most);
    }

    /// <summary>One of them; null when there is none to show.</summary>
    public async Task<PersonFound?> Known(PartyId party, CancellationToken ct) => (await Known([party.Stream], ct)).FirstOrDefault();

    async Task<IEnumerable<PersonFound>> Known(IReadOnlyCollection<StreamName> parties, CancellationToken ct)
    {
        if (parties.Count == 0) return [];
        await using var session = store.QuerySession();
        var states = await session.LoadManyAsync<PartyState>(ct, parties.Select(p => p.ToString()));
        var shown = await withheld.NamesIn(parties, ct);
        return states.Where(s => s.Erasure is not (ErasureStanding.Erased or ErasureStanding.Restricted))
            .Select(s => (State: s, Name: Last(shown[s.Id], "name"), Address: Last(shown[s.Id], "address"))).Where(p => p.Name is not null)
            .Select(p => new PersonFound(PartyId.Parse(p.State.Id), p.Name!, p.State.Kind, p.Address));
    }

    // A party is named anew by later entries.
    static string? Last(IEnumerable<ShownValue> values, string name) =>
        values.LastOrDefault(v => v.Pointer == "/body" && v.Name == name) is { } said && Disclosure.Parse(said.Disclosure).Value is Json.Str text ? text.Value : null;

    /// <summary>Whom a form means. Nobody without a refusal: nothing was typed, or somebody new waits until <paramref name="key"/> is given.</summary>
    /// <param name="own">Whoever is signed in acts for this party.</param>
    /// <param name="key">Names the submission, so that somebody new is recorded once however often it is sent; null records nobody yet.</param>
    public async Task<(PartyId? Party, Refusal? Refused)> Read(PersonTyped typed, PartyId? own, string? key, CancellationToken ct)
    {
        var name = Typed.Text(typed.Name);
        if (typed.Party == PersonTyped.New) return name is null ? (null, NoName) : key is null ? (null, null) : await Begin(typed, name, key, ct);
        if (!string.IsNullOrEmpty(typed.Party)) return await Chosen(typed.Party, name, own, ct);
        if (name is null) return (null, null);
        var found = await Find(name, ct);
        // The whole name of one alone is as good as choosing them.
        return found.People.Where(p => p.Name.Equals(name, StringComparison.OrdinalIgnoreCase)).ToList() is [var only] ? (only.Party, null)
            : found.People.Count == 0 ? (null, new("person-unknown", "Nobody of that name is recorded.", "Choose below to record them, or mend the name."))
            : (null, new("person-not-chosen", "Who is meant is not chosen.", "Choose below, or type more of the name."));
    }

    async Task<(PartyId?, Refusal?)> Chosen(string said, string? name, PartyId? own, CancellationToken ct)
    {
        if (BatParties.Read(said) is not { } party || await Known(party, ct) is not { } person)
            return (null, new("person-unknown", "Whoever was chosen is not known here, or was erased.", "Choose anew."));
        // A name typed after somebody was chosen must not be passed over in silence.
        return name is null || Fits(person.Name, name) || (await index.FindParties(name, ct)).Contains(party.Stream) ? (party, null)
            : (null, new("person-other", $"The name typed is not that of {(party == own ? "whom you act for" : "whoever is chosen")}.", "Choose whom you mean, or take the name out."));
    }

    static bool Fits(string whole, string typed)
    {
        List<string> words = [.. SearchWords.Of(whole)];
        return SearchWords.Of(typed).All(t => words.Any(w => w.StartsWith(t, StringComparison.Ordinal)));
    }

    async Task<(PartyId?, Refusal?)> Begin(PersonTyped typed, string name, string key, CancellationToken ct)
    {
        if (Typed.Word<PartyKind>(typed.Kind ?? nameof(PartyKind.Person)) is not { } kind) return (null, new("kind-unknown", "What they are is not chosen.", "Choose a word of the list."));
        var (party, refused) = await Record(new(kind, name, null, null, null, null) { By = PartyId.Ledger }, key, ct);
        if (party is not null) typed.Party = party.ToString();
        return (party, refused);
    }

    /// <summary>Takes somebody into the ledger, recorded by themselves: nobody vouches for what they said of themselves.</summary>
    /// <param name="key">Names the submission: the same one records one party.</param>
    public async Task<(PartyId? Party, Refusal? Refused)> Record(RecordParty command, string key, CancellationToken ct)
    {
        PartyId party = new(drawing.Stream("party", key));
        return await recorder.Record(party.Stream, command with { By = party }, new Request(key), ct) switch
        {
            Recorded => (party, null),
            Refused refused => (null, refused.Refusals[0]),
            _ => (null, new("not-recorded", "Somebody else recorded something at the same moment.", "Send it again.")),
        };
    }

    static Refusal NoName { get; } = new("person-nameless", "Somebody new has no name yet.", "Type the name as it shall stand in the ledger.");
}
