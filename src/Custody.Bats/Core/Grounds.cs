namespace Custody.Bats;

/// <summary>What an act stands on: entries of the right kind that are not void, and entries of other streams that are known here.</summary>
public static class Grounds
{
    /// <summary>True when an entry was made and is not void: what a void entry said no longer counts.</summary>
    public static bool Stands(this Corrections corrections, long? n) => n is { } entry && !corrections.IsVoid(entry);

    /// <summary>The refusal when entry <paramref name="n"/> is not one of these, or is void; null when it can be stood on.</summary>
    /// <param name="what">Kind in one kebab-case word, for the code and the sentence: examination, source, photograph, ...</param>
    public static Refusal? Refuse<T>(Bat bat, IReadOnlyDictionary<long, T> known, long n, string what) =>
        !known.ContainsKey(n) ? new("no-such-" + what, $"Entry {n} of this bat is no {what.Replace('-', ' ')}.", "Name the entry that began it.")
        : bat.Corrections.IsVoid(n) ? new("entry-void", $"Entry {n} is void.", "Name an entry that still counts.")
        : null;

    /// <summary>The first refusal among several entries of one kind.</summary>
    public static Refusal? Refuse<T>(Bat bat, IReadOnlyDictionary<long, T> known, IEnumerable<long> entries, string what) =>
        entries.Select(n => Refuse(bat, known, n, what)).FirstOrDefault(r => r is not null);

    /// <summary>The refusal when a reference does not lead to a fact of this type.</summary>
    public static Refusal? Refuse<TFact>(ICited cited, Reference? reference, string what) where TFact : Fact =>
        reference is null || cited.Find(reference)?.Fact is TFact
            ? null
            : new("cited-not-found", $"The reference does not lead to a {what} known here.", "Cite it by stream, number and hash.");
}
