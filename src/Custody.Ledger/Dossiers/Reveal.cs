using System.Globalization;

namespace Custody.Ledger;

/// <summary>Where a withheld value stands: entry, object and member.</summary>
/// <param name="N">Number of the entry.</param>
/// <param name="Pointer">RFC 6901 pointer to the object whose <c>_sd</c> holds its digest.</param>
/// <param name="Name">Member name.</param>
public readonly record struct WithheldPlace(long N, string Pointer, string Name)
{
    /// <summary>The place as an owner names it: entry, then the members from the body down, such as <c>1/description</c> or <c>1/parties/p1/name</c>.</summary>
    public string Path => string.Create(CultureInfo.InvariantCulture, $"{N}{Pointer["/body".Length..]}/{Name}");
}

/// <summary>What of the withheld values an owner shows: <c>all</c>, a field's name (in every entry that has it), or exactly one place by its path.
/// Nothing else is shown: what was not named stays withheld.</summary>
public sealed record Reveal(bool All, IReadOnlySet<string> Items)
{
    public static readonly Reveal Nothing = new(false, new HashSet<string>());

    /// <param name="items">Each one item, or several separated by commas.</param>
    public static Reveal Parse(IEnumerable<string> items)
    {
        var said = items.SelectMany(i => i.Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)).ToHashSet(StringComparer.Ordinal);
        return new(said.Remove("all"), said);
    }

    public bool Shows(WithheldPlace place) => All || Items.Contains(place.Name) || Items.Contains(place.Path);

    /// <summary>Items that fit no withheld value of the history: a misspelt field must not silently show nothing.</summary>
    public IReadOnlyList<string> Unfitting(IReadOnlyList<WithheldPlace> places)
    {
        var known = places.Select(p => p.Name).Concat(places.Select(p => p.Path)).ToHashSet(StringComparer.Ordinal);
        return [.. Items.Where(i => !known.Contains(i)).Order(StringComparer.Ordinal)];
    }

    /// <summary>The choice in one spelling, whatever order it was said in.</summary>
    public override string ToString() => All ? "all" : string.Join(',', Items.Order(StringComparer.Ordinal));
}
