using Custody.Bats;
using Custody.Evidence;

namespace Custody.Ledger;

/// <summary>One entry as it is told to a reader.</summary>
/// <param name="Line">Line of the history file, the entry's number.</param>
/// <param name="Title">What happened, in words.</param>
/// <param name="By">Who acted.</param>
/// <param name="Said">Everything open or shown, by name; whether it was withheld and is shown.</param>
/// <param name="Unshown">Names of the fields kept back or never said.</param>
/// <param name="Void">Whether a later entry says that this did not happen here.</param>
/// <param name="CorrectedBy">Numbers of the entries that correct it; it is told as corrected.</param>
public sealed record ToldEntry(
    long Line, string Title, bool IsReport, DateTimeOffset? Recorded, Edtf? Occurred, string By, string? Hash,
    IReadOnlyList<(string Name, string Value, bool Shown)> Said, IReadOnlyList<string> Unshown, bool Void, IReadOnlyList<long> CorrectedBy);

/// <summary>One ledger's history of the bat as it is told: in the order in which things are said to have happened.</summary>
/// <param name="Origin">The ledger's name.</param>
/// <param name="Head">Number of the last entry and the time as of which it is the last, in words.</param>
public sealed record ToldHistory(string Origin, string Stream, string Head, IReadOnlyList<ToldEntry> Entries)
{
    /// <summary>How many fields are kept back or were never said, by name. The two look alike on purpose, so they are counted together.</summary>
    public IEnumerable<(string Kind, int Count)> Unshown => Entries.SelectMany(e => e.Unshown).GroupBy(k => k, StringComparer.Ordinal)
        .Select(g => (g.Key, g.Count())).OrderByDescending(k => k.Item2).ThenBy(k => k.Key, StringComparer.Ordinal);

    /// <param name="opened">Each entry with what is shown of it.</param>
    /// <param name="corrected">The same entries corrected; null when the history could not be decided again, and is told as recorded.</param>
    internal static ToldHistory Of(HistoryReading reading, Func<HistoryLine, Entry?> opened, Reading? corrected)
    {
        var lines = reading.History.Lines;
        var people = People.In(lines.Select(opened));
        var noted = corrected?.Corrected([.. lines.Select((l, i) => opened(l) ?? corrected.Entries[i].Entry)]);
        var told = lines.Select((l, i) => Tell(l, l.Gone is null ? noted?[i] ?? (opened(l) is { } entry ? new Noted(entry, [], false) : null) : null, people)).ToList();
        var head = reading.Head.Value is { } h ? $"entry {h.N} as of {EntryText.Write(h.Time)}" : "unknown";
        return new(reading.Origin, reading.First?.Stream.ToString() ?? "", head, [.. InOrder(told)]);
    }

    /// <summary>The entries of a reading as they are told, in the order in which things are said to have happened.</summary>
    public static IReadOnlyList<ToldEntry> EntriesOf(Reading reading)
    {
        var people = People.In(reading.Entries.Select(e => e.Entry));
        return [.. InOrder([.. reading.Entries.Select((e, i) => Tell(i + 1, e, people))])];
    }

    /// <summary>Entries in the order and the words in which they were recorded, whatever was corrected later.</summary>
    public static IReadOnlyList<ToldEntry> AsRecorded(IReadOnlyList<Entry> entries)
    {
        var people = People.In(entries);
        return [.. entries.Select(e => Tell(e.N, new Noted(e, [], false), people))];
    }

    static ToldEntry Tell(long number, Noted noted, People people)
    {
        var entry = noted.Entry;
        var said = Words.Fields(entry.Fact).Where(f => f.Name != "parties").Select(f => (f.Name, Words.Of(f.Value, people.Name), f.Withheld)).ToList();
        if (entry.Fact.Parties is { } parties)
            said.Add(("named here for the first time", string.Join("; ", parties.Keys.Select(k => people.Name(Alias.Parse(k)))), false));
        return new(number, Words.Split(entry.Fact.TypeName), entry.Fact.IsReport, entry.Envelope.Recorded, entry.Envelope.Occurred,
            people.Name(entry.Envelope.By), entry.Hash, said, [.. Words.Unshown(entry.Fact)], noted.IsVoid, noted.CorrectedBy);
    }

    static ToldEntry Tell(HistoryLine line, Noted? noted, People people)
    {
        if (noted is not null) return Tell(line.Number, noted, people);
        var title = line switch
        {
            { Gone: not null } => "An entry that is gone",
            { Form: { } form } => $"An entry of a type not known here ({Words.Split(form.Type)})",
            _ => "A line that cannot be read",
        };
        return new(line.Number, title, false, line.Form?.Envelope.Recorded, line.Form?.Envelope.Occurred, people.Name(line.Form?.Envelope.By), line.Hash, [], [], false, []);
    }

    // Order of occurrence by the earliest day it can have begun; where none is known, by the latest; where nothing is, by the recording.
    static IEnumerable<ToldEntry> InOrder(IReadOnlyList<ToldEntry> told)
    {
        long day = 0;
        List<(long Day, ToldEntry Entry)> dated = [];
        foreach (var entry in told)
        {
            day = entry.Recorded is { } recorded ? Day.Of(DateOnly.FromDateTime(recorded.UtcDateTime)).Number : day;
            dated.Add((FirstDay(entry.Occurred) ?? day, entry));
        }
        return dated.OrderBy(d => d.Day).ThenBy(d => d.Entry.Line).Select(d => d.Entry);
    }

    static long? FirstDay(Edtf? occurred)
    {
        if (occurred is null) return null;
        Bound[] bounds = [occurred.EarliestStart, occurred.LatestStart, occurred.EarliestEnd, occurred.LatestEnd];
        return bounds.Where(b => b.IsDay).Select(b => (long?)b.Day.Number).FirstOrDefault();
    }
}

/// <summary>The people of one stream, by name where it is shown, otherwise by what they are to the bat.</summary>
sealed class People
{
    readonly Dictionary<Alias, string> names = [];

    internal static People In(IEnumerable<Entry?> entries)
    {
        var people = new People();
        foreach (var entry in entries)
        {
            if (entry?.Fact.Parties is not { } parties) continue;
            foreach (var (key, party) in parties)
                people.names[Alias.Parse(key)] = party.Name is { } name ? $"{name.Value} ({key}, {Words.Of(party.Role.ToString())})" : $"{Words.Of(party.Role.ToString())} {key}";
        }
        return people;
    }

    internal string Name(Alias alias) => names.GetValueOrDefault(alias) ?? alias.ToString();

    internal string Name(Alias? alias) => alias is { } known ? Name(known) : "the ledger itself";
}
