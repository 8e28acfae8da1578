using System.Globalization;
using Custody.Bats;
using Custody.Evidence;
using Custody.Evidence.Text;
using Custody.Server.Recording;

namespace Custody.Server.Habits;

/// <summary>A row refused, with the reason by name. Its fields go to the file of rejects unchanged.</summary>
sealed class RowRefused(Refusal refusal) : Exception(refusal.Sentence)
{
    public Refusal Refusal { get; } = refusal;

    public RowRefused(string code, string sentence, string remedy) : this(new Refusal(code, sentence, remedy))
    {
    }
}

/// <summary>Turns rows of a CSV file into occasions of one habit file. Columns: <c>row</c> (a name of one's own, for other rows to refer to), <c>kind</c>,
/// <c>when</c>, <c>copyOf</c> and <c>sameOccasion</c> (a row above, or # and an entry's number), <c>entry</c>, <c>custody</c> (stream#number#hash),
/// <c>source</c>, and one for each characteristic, by its number or title: a value's number or name, absent, or nothing where it could not be seen.</summary>
sealed class HabitRows
{
    internal const string Row = "row", Kind = "kind", When = "when", CopyOf = "copyOf", SameOccasion = "sameOccasion", Entry = "entry", Custody = "custody", Source = "source";

    static readonly string[] Fixed = [Row, Kind, When, CopyOf, SameOccasion, Entry, Custody, Source];

    /// <summary>What the file of rejects adds: left unread when it is imported again.</summary>
    internal static readonly string[] Reasons = ["rejectedCode", "rejectedSentence", "rejectedRemedy"];

    readonly Dictionary<string, int> columns;
    readonly List<(int Column, long Characteristic, IReadOnlyList<string> Names, int Values)> characteristics;

    HabitRows(Dictionary<string, int> columns, List<(int, long, IReadOnlyList<string>, int)> characteristics) =>
        (this.columns, this.characteristics) = (columns, characteristics);

    /// <summary>Reads the header. Refuses <c>column-unknown</c>, <c>column-twice</c>, <c>column-missing</c>.</summary>
    public static (HabitRows? Rows, Refusal? Refused) Of(IReadOnlyList<string> header, IReadOnlyList<Bats.Entry> file)
    {
        Dictionary<string, int> columns = new(StringComparer.Ordinal);
        List<(int, long, IReadOnlyList<string>, int)> characteristics = [];
        for (var i = 0; i < header.Count; i++)
        {
            var name = header[i].Trim();
            if (!columns.TryAdd(name, i)) return (null, new("column-twice", $"Column {Text(i + 1)} has the name of another one.", "Name each column once."));
            if (Fixed.Contains(name) || Reasons.Contains(name)) continue;
            if (Defined(file, name) is not { } defined)
                return (null, new("column-unknown", $"Column {Text(i + 1)} is neither a known column nor a characteristic of the file.", "Name it by the characteristic's number or title."));
            if (characteristics.Exists(c => c.Item2 == defined.N))
                return (null, new("column-twice", $"Column {Text(i + 1)} names a characteristic that another one names.", "Name each once."));
            var fact = (CharacteristicDefined)defined.Fact;
            characteristics.Add((i, defined.N, fact.ValueNames?.Value ?? [], fact.Characteristic.Values));
        }
        return columns.ContainsKey(Kind) && characteristics.Count > 0
            ? (new HabitRows(columns, characteristics), null)
            : (null, new("column-missing", "There is no column for the kind, or none for a characteristic.", "Give both."));
    }

    static Bats.Entry? Defined(IReadOnlyList<Bats.Entry> file, string name) => file.FirstOrDefault(e =>
        e.Fact is CharacteristicDefined defined && (Text(e.N) == name || string.Equals(defined.Title?.Value, name, StringComparison.Ordinal)));

    /// <summary>The row's own name; empty when it has none.</summary>
    public string NameOf(CsvRecord record) => Field(record, Row);

    /// <summary>What of the record counts for its identity: everything but the reasons of an earlier rejection.</summary>
    public IEnumerable<string> Content(CsvRecord record) =>
        columns.Where(c => !Reasons.Contains(c.Key)).OrderBy(c => c.Key, StringComparer.Ordinal).Select(c => c.Key + "=" + Field(record, c.Key));

    /// <summary>The occasion a row tells of.</summary>
    /// <param name="known">Entries of rows above, by their names.</param>
    /// <exception cref="RowRefused">A field cannot be read.</exception>
    public RecordOccasion Read(CsvRecord record, IReadOnlyDictionary<string, long> known, PartyId by)
    {
        if (record.Fields.Count > columns.Count) throw new RowRefused("too-many-fields", "The row has more fields than the header.", "Quote a field that holds a comma.");
        var source = Field(record, Source);
        if (!TextAtTheDoor.Check(source, Door.MaxText, out var fit, out var unfit)) throw new RowRefused(unfit.Code, unfit.Sentence, unfit.Remedy);
        return new RecordOccasion(
            Word<OccasionKind>(record, Kind) ?? throw new RowRefused("kind-missing", "The row does not say what kind of source it is.", "Give a kind."),
            Date(Field(record, When)), Linked(record, CopyOf, known), Linked(record, SameOccasion, known), Word<Bats.BatEntry>(record, Entry) ?? Bats.BatEntry.NotABat,
            [.. characteristics.Select(c => Observation(c, Cell(record, c.Column)))], null, null, fit.Length == 0 ? null : fit, Cited(Field(record, Custody)))
        { By = by };
    }

    static Observation Observation((int Column, long Characteristic, IReadOnlyList<string> Names, int Values) c, string cell)
    {
        if (cell.Length == 0) return new(c.Characteristic, Observed.CouldNotBeSeen, null);
        if (cell == "absent") return new(c.Characteristic, Observed.Absent, null);
        var value = Number(cell) ?? (c.Names.ToList().IndexOf(cell) + 1);
        return value >= 1 && value <= c.Values
            ? new(c.Characteristic, Observed.Seen, (int)value)
            : throw new RowRefused("value-unknown", $"Column {Text(c.Column + 1)} holds no value of its characteristic.", "Give a value's number or name, absent, or nothing.");
    }

    static Edtf? Date(string text) => text.Length == 0 ? null
        : Edtf.TryParse(text, out var date, out var refusal) ? date : throw new RowRefused(refusal.Code, refusal.Sentence, refusal.Remedy);

    long? Linked(CsvRecord record, string column, IReadOnlyDictionary<string, long> known)
    {
        var text = Field(record, column);
        return text.Length == 0 ? null
            : text[0] == '#' && Number(text[1..]) is { } n ? n
            : known.TryGetValue(text, out var entry) ? entry
            : throw new RowRefused("row-not-recorded", $"The column {column} names a row that is not recorded.", "Name a row above that was taken, or # and an entry's number.");
    }

    static Reference? Cited(string text)
    {
        if (text.Length == 0) return null;
        return text.Split('#') is [var name, var number, var hash] && StreamName.TryParse(name, out var stream) && Number(number) is { } n
            ? new Reference(null, stream, n, hash)
            : throw new RowRefused("reference-unreadable", "The column custody cannot be read.", "Give stream#number#hash.");
    }

    TWord? Word<TWord>(CsvRecord record, string column) where TWord : struct, Enum
    {
        var text = Field(record, column);
        return text.Length == 0 ? null
            : Enum.GetValues<TWord>().Where(w => string.Equals(Camel(w), text, StringComparison.Ordinal)).Select(w => (TWord?)w).FirstOrDefault()
                ?? throw new RowRefused("word-unknown", $"The column {column} holds a word that is not known.", $"Use one of {string.Join(", ", Enum.GetValues<TWord>().Select(Camel))}.");
    }

    static string Camel<TWord>(TWord word) where TWord : struct, Enum => char.ToLowerInvariant(word.ToString()[0]) + word.ToString()[1..];

    string Field(CsvRecord record, string column) => columns.TryGetValue(column, out var i) ? Cell(record, i) : "";

    static string Cell(CsvRecord record, int column) => column < record.Fields.Count ? record.Fields[column].Trim() : "";

    static long? Number(string text) => long.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var n) ? n : null;

    static string Text(long number) => number.ToString(CultureInfo.InvariantCulture);
}
