namespace Custody.Bats;

/// <summary>Whole streams that opinions cite a version of, as this reader holds them: habit files, comparison files, rubrics. What was counted once is kept,
/// because many opinions cite one version; so one thread at a time.</summary>
public sealed class CitedStreams(IReadOnlyDictionary<StreamName, IReadOnlyList<Entry>> streams)
{
    public static readonly CitedStreams None = new(new Dictionary<StreamName, IReadOnlyList<Entry>>());

    readonly Dictionary<string, CountedFiles> counted = new(StringComparer.Ordinal);

    /// <summary>Both files counted for these inputs, once.</summary>
    internal CountedFiles Counted(string key, Func<CountedFiles> count)
    {
        if (!counted.TryGetValue(key, out var files)) counted.Add(key, files = count());
        return files;
    }

    /// <summary>The stream up to and including the entry cited; null when it is not held here, or holds another entry at that number.</summary>
    internal IReadOnlyList<Entry>? UpTo(Reference? cited) =>
        cited is { Ledger: null } && streams.GetValueOrDefault(cited.Stream) is { } entries && cited.N >= 1 && cited.N <= entries.Count
        && entries[(int)cited.N - 1].Hash == cited.Hash ? new Beginning<Entry>(entries, (int)cited.N) : null;

    /// <summary>Everything recorded after the entry cited; empty when the stream is not held here.</summary>
    internal IEnumerable<Entry> After(Reference? cited) => UpTo(cited) is null ? [] : streams[cited!.Stream].Skip((int)cited.N);

    /// <summary>The beginning of a list, not copied.</summary>
    sealed class Beginning<T>(IReadOnlyList<T> all, int count) : IReadOnlyList<T>
    {
        public T this[int index] => index < count ? all[index] : throw new ArgumentOutOfRangeException(nameof(index));

        public int Count => count;

        public IEnumerator<T> GetEnumerator() => all.Take(count).GetEnumerator();

        System.Collections.IEnumerator System.Collections.IEnumerable.GetEnumerator() => GetEnumerator();
    }

    /// <summary>Every stream that the opinions of a reading are computed from.</summary>
    public static IEnumerable<Reference> Named(Reading reading) => reading.Entries.Where(e => e.Fact is IGivenOpinion).SelectMany(e => e.Fact.Cites);
}
