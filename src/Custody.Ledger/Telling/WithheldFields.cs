using Custody.Bats;

namespace Custody.Ledger;

/// <summary>One withheld value of a history as its owner is asked about it.</summary>
/// <param name="Place">Where it stands.</param>
/// <param name="Happened">What the entry says happened, in words.</param>
/// <param name="Field">The field in words.</param>
/// <param name="Value">The value in words: for the owner alone.</param>
/// <param name="Chosen">Whether the reader would see it.</param>
public sealed record WithheldField(WithheldPlace Place, string Happened, string Field, string Value, bool Chosen);

/// <summary>Lists everything of a history that an owner may show or keep back.</summary>
public static class WithheldFields
{
    /// <summary>Every withheld value, by entry, object and name. A value that was never said, or was erased, is not there to be chosen.</summary>
    /// <param name="entries">The history with every value filled in that its owner may see.</param>
    public static IReadOnlyList<WithheldField> List(IReadOnlyList<Entry> entries, Reveal reveal)
    {
        var people = People.In(entries);
        return
        [
            .. entries.SelectMany(entry => In(entry.Fact, "/body").Select(found => (Place: new WithheldPlace(entry.N, found.Pointer, found.Name), entry, found.Value)))
                .Select(f => new WithheldField(
                    f.Place, Words.Split(f.entry.Fact.TypeName), FieldInWords(f.Place), Words.Of(f.Value, people.Name), reveal.Shows(f.Place)))
                .OrderBy(f => f.Place.N).ThenBy(f => f.Place.Pointer, StringComparer.Ordinal).ThenBy(f => f.Place.Name, StringComparer.Ordinal),
        ];
    }

    static IEnumerable<(string Pointer, string Name, object Value)> In(object part, string pointer)
    {
        var shape = Shape.Of(part.GetType());
        foreach (var field in shape.Withheld)
            if (field.Value(part) is IWithheld kept) yield return (pointer, field.Name, kept.Value);
        foreach (var field in shape.Open)
            foreach (var (below, inner) in Parts(field.Value(part), $"{pointer}/{field.Name}"))
                foreach (var found in In(inner, below)) yield return found;
    }

    static IEnumerable<(string Pointer, object Part)> Parts(object? value, string pointer) => value switch
    {
        IKeyed keyed => keyed.Parts.Select(p => ($"{pointer}/{p.Key}", (object)p.Value)),
        IPart part => [(pointer, part)],
        _ => [],
    };

    /// <summary>"name (parties p2)": the field, and in which part of the entry when it is not the entry's own.</summary>
    static string FieldInWords(WithheldPlace place)
    {
        var within = place.Pointer["/body".Length..].Split('/', StringSplitOptions.RemoveEmptyEntries).Select(Words.Split).ToList();
        return within.Count == 0 ? Words.Split(place.Name) : $"{Words.Split(place.Name)} ({string.Join(' ', within).ToLowerInvariant()})";
    }
}
