using Custody.Bats;
using Custody.Server.Private;
using Custody.Server.Recording;
using Custody.Transparency;
using Marten;

namespace Custody.Server.Finding;

/// <summary>Which bats are asked for, besides the words.</summary>
public enum BatStanding
{
    Any,
    WithHolds,
    InTransit,
    OpenClaims,
    WithUs,
    Consigned,
    OpenLot,
}

/// <summary>One bat of the answer.</summary>
/// <param name="Title">Who is said to hold title, as far as names are shown.</param>
/// <param name="With">Who has it.</param>
public sealed record BatRow(
    string Number, string? Description, IReadOnlyList<string> Title, bool TitleDisputed, string With, int Holds, int Claims, bool Missing, long N, DateTimeOffset Recorded);

/// <summary>A person, sale or file of the answer.</summary>
public sealed record OtherRow(StreamName Stream, string Name);

/// <param name="More">There are more bats than are shown; a further word finds fewer.</param>
public sealed record FinderAnswer(IReadOnlyList<BatRow> Bats, IReadOnlyList<OtherRow> Others, bool More);

/// <summary>Answers the search page: a fixed number of questions to the database, however many bats are found.</summary>
public sealed class FinderDesk(SearchIndex index, IDocumentStore store, WithheldValues withheld, AliasBook aliases)
{
    const int Most = 50;

    /// <summary>The short number of a bat that is named exactly; hyphens and case do not matter.</summary>
    public async Task<string?> Exactly(string asked, CancellationToken ct)
    {
        var number = asked.Replace("-", "", StringComparison.Ordinal).Trim().ToUpperInvariant();
        if (!CheckCharacter.Verify(number)) return null;
        await using var session = store.QuerySession();
        return await session.Query<Bat>().AnyAsync(b => b.Registration!.ShortNumber == number, ct) ? number : null;
    }

    /// <param name="words">What is asked for; empty for every bat of that standing.</param>
    /// <param name="us">The party that "with us" means.</param>
    public async Task<FinderAnswer> Find(string words, BatStanding standing, PartyId? us, CancellationToken ct)
    {
        IReadOnlyList<StreamName>? found = words.Length > 0 ? await index.Find(words, ct) : null;
        await using var session = store.QuerySession();
        var ours = standing == BatStanding.WithUs && us is not null ? (await aliases.StreamsOf(us, ct)).ToDictionary(s => s.Stream.ToString(), s => s.Alias, StringComparer.Ordinal) : [];
        var asked = found?.Where(s => s.Kind == "bat").Select(s => s.ToString()).ToList();
        if (standing == BatStanding.WithUs) asked = asked is null ? [.. ours.Keys] : [.. asked.Where(ours.ContainsKey)];
        var bats = asked is not null
            ? await session.LoadManyAsync<Bat>(ct, asked.Take(400))
            : await session.QueryAsync<Bat>($"where {Where(standing)} order by id limit {Most + 1}", ct);
        List<Bat> fitting = [.. bats.Where(b => b.Registration is not null && Fits(b, standing, ours)).OrderByDescending(b => b.Recorded).ThenBy(b => b.Id, StringComparer.Ordinal)];
        List<StreamName> others = [.. (standing == BatStanding.Any ? found ?? [] : []).Where(s => s.Kind is not ("bat" or "ledger")).Take(Most)];
        List<Bat> shown = [.. fitting.Take(Most)];
        var names = await withheld.NamesIn([.. shown.Select(b => StreamName.Parse(b.Id)), .. others], ct);
        return new([.. shown.Select(b => Row(b, names[b.Id]))], [.. others.Select(s => new OtherRow(s, NameOf(s, names[s.ToString()])))], fitting.Count > Most);
    }

    static bool Fits(Bat bat, BatStanding standing, Dictionary<string, Alias> ours) => standing switch
    {
        BatStanding.WithHolds => bat.Holds.ByEntry.Values.Any(h => !h.Lifted),
        BatStanding.InTransit => bat.Keeping.InTransit is not null,
        BatStanding.OpenClaims => bat.Claims.OpenClaims.Any(),
        BatStanding.WithUs => ours.TryGetValue(bat.Id, out var alias) && bat.Keeping.Custodian == alias,
        BatStanding.Consigned => bat.Consignments.OpenFor(bat.Title) is not null,
        BatStanding.OpenLot => bat.Lots.Open is not null,
        _ => true,
    };

    // Where no words narrow it down the document itself is asked; what waits is a column of its own, so few documents are opened.
    static string Where(BatStanding standing) => standing switch
    {
        BatStanding.WithHolds => "exists (select from jsonb_each(data->'holds'->'byEntry') as hold where not (hold.value->>'lifted')::boolean)",
        BatStanding.InTransit => "waits and data->'keeping'->>'inTransit' is not null",
        BatStanding.OpenClaims => "waits and data->'claims'->'byEntry' <> '{}'::jsonb",
        BatStanding.Consigned => "data->'consignments'->'byEntry' <> '{}'::jsonb",
        BatStanding.OpenLot => "stood_in <> '{}'",
        _ => "true",
    };

    static BatRow Row(Bat bat, IEnumerable<ShownValue> shown)
    {
        List<ShownValue> values = [.. shown];
        var people = values.Where(v => v.Name == "name").ToDictionary(v => v.Pointer[(v.Pointer.LastIndexOf('/') + 1)..], v => Text(v), StringComparer.Ordinal);
        string Person(Alias alias) => people.GetValueOrDefault(alias.ToString()) ?? $"{Ledger.Words.Of(bat.People[alias].ToString())} {alias}";
        return new(
            bat.Registration!.ShortNumber, values.Find(v => v is { N: 1, Name: "description" }) is { } said ? Text(said) : null,
            [.. bat.Title.Shares.Select(s => Person(s.Key) + (s.Value == Fraction.Whole ? "" : $" {s.Value.Parts}/{s.Value.Of}"))], bat.Title.Standing == TitleStanding.Disputed,
            bat.Keeping.Custodian is { } custodian ? Person(custodian) : bat.Keeping.InTransit is { } n ? $"in transit to {Person(bat.Keeping.Handovers[n].Bound)}" : "not known",
            bat.Holds.ByEntry.Values.Count(h => !h.Lifted), bat.Claims.OpenClaims.Count(), bat.Claims.OpenMissing.Any(), bat.N, bat.Recorded);
    }

    static string NameOf(StreamName stream, IEnumerable<ShownValue> shown)
    {
        // A party is named anew by later entries; a file or sale is known by how its first one names it, or whom it is of.
        List<ShownValue> values = [.. shown];
        var own = values.FindLast(v => v is { Pointer: "/body", Name: "name" or "title" or "scope" });
        return (own ?? values.Find(v => v.Name == "name")) is { } named && Text(named) is { } text ? text : stream.ToString();
    }

    static string? Text(ShownValue value) => Disclosure.Parse(value.Disclosure).Value is Json.Str text ? text.Value : null;
}
