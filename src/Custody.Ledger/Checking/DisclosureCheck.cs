using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>Check 7, and what it finds: entries with the values filled in that the dossier shows.</summary>
sealed class DisclosureCheck
{
    readonly Dictionary<HistoryLine, Entry> opened = new(ReferenceEqualityComparer.Instance);

    internal Outcome Outcome { get; }

    /// <summary>The entry with what is shown of it; as it stands when nothing is, or when the check failed.</summary>
    internal Entry? Opened(HistoryLine line) => opened.GetValueOrDefault(line) ?? line.Entry;

    /// <summary>How many values are shown.</summary>
    internal int Count { get; private set; }

    /// <summary>The texts shown, as values, for check 8.</summary>
    internal IReadOnlySet<string> ShownTexts => shownTexts;

    readonly HashSet<string> shownTexts = new(StringComparer.Ordinal);

    internal DisclosureCheck(ReadOnlyMemory<byte>? file, IReadOnlyList<HistoryReading> readings)
    {
        try
        {
            Outcome = file is { } bytes ? Check(DisclosuresFile.Read(bytes.Span), readings) : Outcome.NotChecked("disclosures.json is missing.");
        }
        catch (Malformed malformed)
        {
            Outcome = Outcome.Failed(malformed.Sentence);
        }
        if (Outcome.HasFailed) opened.Clear();
    }

    Outcome Check(IReadOnlyList<Shown> shown, IReadOnlyList<HistoryReading> readings)
    {
        var lines = readings.SelectMany(r => r.Lines).Where(l => l.Form is not null).ToLookup(l => (l.Form!.Envelope.Stream.ToString(), l.Form.Envelope.N));
        var places = CountDigests(readings);
        if (shown.Select(s => s.Disclosure).Distinct(StringComparer.Ordinal).Count() < shown.Count) return Outcome.Failed("A disclosure is given twice.");
        foreach (var entry in shown.GroupBy(s => (s.Stream, s.N)))
        {
            if (lines[entry.Key].ToList() is not [var line]) return Outcome.Failed($"A disclosure is for entry {entry.Key.N} of {entry.Key.Stream}, which is not here once.");
            foreach (var item in entry)
                if (Misfit(item, line, places) is { } misfit) return Outcome.Failed($"Entry {item.N}: {misfit}");
            if (line.Entry is not null) opened[line] = EntryCodec.Open(line.Form!, entry.Select(s => s.Disclosure)).Entry;
        }
        Count = shown.Count;
        return Outcome.Passed(shown.Count == 0 ? "Nothing that was withheld is shown." : $"{shown.Count} withheld values are shown; each fits its digest.");
    }

    // A digest may stand once in the whole dossier: twice, and one disclosure would say two things.
    static Dictionary<string, int> CountDigests(IReadOnlyList<HistoryReading> readings) =>
        readings.SelectMany(r => r.Lines).Where(l => l.Form is not null).SelectMany(l => DigestsIn(l.Form!.Body, "/body")).GroupBy(d => d.Digest, StringComparer.Ordinal)
            .ToDictionary(g => g.Key, g => g.Count(), StringComparer.Ordinal);

    string? Misfit(Shown item, HistoryLine line, Dictionary<string, int> places)
    {
        var digest = Disclosure.Digest(item.Disclosure);
        var value = Disclosure.Parse(item.Disclosure);
        if (places.GetValueOrDefault(digest) != 1) return "a disclosure fits no digest, or more than one, of this dossier.";
        if (!DigestsIn(line.Form!.Body, "/body").Contains((digest, item.Pointer))) return $"a disclosure does not fit the object {item.Pointer}.";
        if (ObjectAt(line.Form.Body, item.Pointer)!.Has(value.Name)) return $"a disclosure names \"{value.Name}\", which is open.";
        if (value.Value is Json.Str text) shownTexts.Add(text.Value);
        return null;
    }

    static IEnumerable<(string Digest, string Pointer)> DigestsIn(Json.Obj obj, string pointer)
    {
        foreach (var (name, value) in obj.Members)
        {
            if (name == "_sd") foreach (var digest in ((Json.Arr)value).Items) yield return (((Json.Str)digest).Value, pointer);
            else if (value is Json.Obj inner) foreach (var found in DigestsIn(inner, pointer + "/" + name)) yield return found;
        }
    }

    static Json.Obj? ObjectAt(Json.Obj body, string pointer) =>
        pointer.Split('/').Skip(2).Aggregate((Json.Obj?)body, (obj, name) => obj?[name] as Json.Obj);
}
