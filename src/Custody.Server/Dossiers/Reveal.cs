using System.Globalization;
using Custody.Server.Private;

namespace Custody.Server.Dossiers;

/// <summary>What of the withheld values an owner shows: <c>all</c>, a field's name (in every entry that has it), or number and name (<c>12/place</c>).</summary>
sealed record Reveal(bool All, IReadOnlySet<string> Names)
{
    public static readonly Reveal Nothing = new(false, new HashSet<string>());

    public static Reveal Parse(IEnumerable<string> items)
    {
        var names = items.SelectMany(i => i.Split(',', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries)).ToHashSet(StringComparer.Ordinal);
        return new(names.Remove("all"), names);
    }

    public bool Shows(ShownValue value) =>
        All || Names.Contains(value.Name) || Names.Contains(string.Create(CultureInfo.InvariantCulture, $"{value.N}/{value.Name}"));

    /// <summary>Items that fit no withheld value of the history: a misspelt field must not silently show nothing.</summary>
    public IReadOnlyList<string> Unfitting(IReadOnlyList<ShownValue> values)
    {
        var known = values.Select(v => v.Name).Concat(values.Select(v => string.Create(CultureInfo.InvariantCulture, $"{v.N}/{v.Name}"))).ToHashSet(StringComparer.Ordinal);
        return [.. Names.Where(n => !known.Contains(n)).Order(StringComparer.Ordinal)];
    }
}
