using Custody.Bats;

namespace Custody.Server.Habits;

/// <summary>Rows of a CSV file as acts on one habit file: occasions, or usual zones where there is a column <c>occasions</c>.</summary>
abstract class HabitRows(CsvColumns columns)
{
    /// <summary>A name of one's own, for other rows to refer to.</summary>
    internal const string Row = "row";

    /// <summary>What the file of rejects adds: left unread when it is imported again.</summary>
    internal static readonly string[] Reasons = ["rejectedCode", "rejectedSentence", "rejectedRemedy"];

    protected CsvColumns Columns { get; } = columns;

    /// <summary>Reads the header. Refuses <c>column-unknown</c>, <c>column-twice</c>, <c>column-missing</c>.</summary>
    /// <param name="file">The habit file, with what the house may see: titles of characteristics.</param>
    public static (HabitRows? Rows, Refusal? Refused) Of(IReadOnlyList<string> header, IReadOnlyList<Entry> file)
    {
        Dictionary<string, int> places = new(StringComparer.Ordinal);
        for (var i = 0; i < header.Count; i++)
            if (!places.TryAdd(header[i].Trim(), i))
                return (null, new("column-twice", $"Column {CsvColumns.Text(i + 1)} has the name of another one.", "Name each column once."));
        CsvColumns columns = new(places);
        return columns.Has(ZoneRows.Occasions) ? ZoneRows.Of(columns, places, file) : OccasionRows.Of(columns, places, file);
    }

    /// <summary>The characteristic that a text names by number or title; null for none.</summary>
    protected static Entry? Defined(IReadOnlyList<Entry> file, string name) => file.FirstOrDefault(e =>
        e.Fact is CharacteristicDefined defined && (CsvColumns.Text(e.N) == name || string.Equals(defined.Title?.Value, name, StringComparison.Ordinal)));

    /// <summary>The row's own name; empty when it has none.</summary>
    public string NameOf(CsvRecord record) => Columns.Field(record, Row);

    /// <summary>What of the record counts for its identity: everything but the reasons of an earlier rejection.</summary>
    public IEnumerable<string> Content(CsvRecord record) => Columns.Names.Where(c => !Reasons.Contains(c)).Select(c => c + "=" + Columns.Field(record, c));

    /// <summary>The act a row tells of.</summary>
    /// <param name="known">Entries of rows above, by their names.</param>
    /// <exception cref="RowRefused">A field cannot be read.</exception>
    public HabitCommand Read(CsvRecord record, IReadOnlyDictionary<string, long> known, PartyId by) =>
        record.Fields.Count > Columns.Count
            ? throw new RowRefused("too-many-fields", "The row has more fields than the header.", "Quote a field that holds a comma.")
            : Told(record, known, by);

    protected abstract HabitCommand Told(CsvRecord record, IReadOnlyDictionary<string, long> known, PartyId by);
}

/// <summary>Rows that tell of occasions. Columns: <c>row</c>, <c>kind</c>, <c>when</c>, <c>copyOf</c> and <c>sameOccasion</c> (a row above, or # and an entry's
/// number), <c>entry</c>, <c>custody</c> (stream#number#hash), <c>source</c>, and one for each characteristic, by its number or title: a value's number or name,
/// absent, or nothing where it could not be seen.</summary>
sealed class OccasionRows : HabitRows
{
    internal const string Kind = "kind", When = "when", CopyOf = "copyOf", SameOccasion = "sameOccasion", Entry = "entry", Custody = "custody", Source = "source";

    static readonly string[] Fixed = [Row, Kind, When, CopyOf, SameOccasion, Entry, Custody, Source];

    readonly List<(int Column, long Characteristic, IReadOnlyList<string> Names, int Values)> characteristics;

    OccasionRows(CsvColumns columns, List<(int, long, IReadOnlyList<string>, int)> characteristics) : base(columns) => this.characteristics = characteristics;

    internal static (HabitRows? Rows, Refusal? Refused) Of(CsvColumns columns, IReadOnlyDictionary<string, int> places, IReadOnlyList<Entry> file)
    {
        List<(int, long, IReadOnlyList<string>, int)> characteristics = [];
        foreach (var (name, i) in places.Where(p => !Fixed.Contains(p.Key) && !Reasons.Contains(p.Key)).OrderBy(p => p.Value))
        {
            if (Defined(file, name) is not { } defined)
                return (null, new("column-unknown", $"Column {CsvColumns.Text(i + 1)} is neither a known column nor a characteristic of the file.", "Name it by the characteristic's number or title."));
            if (characteristics.Exists(c => c.Item2 == defined.N))
                return (null, new("column-twice", $"Column {CsvColumns.Text(i + 1)} names a characteristic that another one names.", "Name each once."));
            var fact = (CharacteristicDefined)defined.Fact;
            characteristics.Add((i, defined.N, fact.ValueNames?.Value ?? [], fact.Characteristic.Values));
        }
        return columns.Has(Kind) && characteristics.Count > 0
            ? (new OccasionRows(columns, characteristics), null)
            : (null, new("column-missing", "There is no column for the kind, or none for a characteristic.", "Give both."));
    }

    protected override HabitCommand Told(CsvRecord record, IReadOnlyDictionary<string, long> known, PartyId by)
    {
        var source = Columns.Words(record, Source);
        return new RecordOccasion(
            Columns.Word<OccasionKind>(record, Kind) ?? throw new RowRefused("kind-missing", "The row does not say what kind of source it is.", "Give a kind."),
            Columns.Date(record, When), Linked(record, CopyOf, known), Linked(record, SameOccasion, known), Columns.Word<BatEntry>(record, Entry) ?? BatEntry.NotABat,
            [.. characteristics.Select(c => Observation(c, CsvColumns.Cell(record, c.Column)))], null, null, source, Cited(Columns.Field(record, Custody)))
        { By = by };
    }

    static Observation Observation((int Column, long Characteristic, IReadOnlyList<string> Names, int Values) c, string cell)
    {
        if (cell.Length == 0) return new(c.Characteristic, Observed.CouldNotBeSeen, null);
        if (cell == "absent") return new(c.Characteristic, Observed.Absent, null);
        var value = CsvColumns.Number(cell) ?? (c.Names.ToList().IndexOf(cell) + 1);
        return value >= 1 && value <= c.Values
            ? new(c.Characteristic, Observed.Seen, (int)value)
            : throw new RowRefused("value-unknown", $"Column {CsvColumns.Text(c.Column + 1)} holds no value of its characteristic.", "Give a value's number or name, absent, or nothing.");
    }

    long? Linked(CsvRecord record, string column, IReadOnlyDictionary<string, long> known) =>
        Columns.Field(record, column) is { Length: > 0 } text ? CsvColumns.Entry(text, column, known) : null;

    static Reference? Cited(string text)
    {
        if (text.Length == 0) return null;
        return text.Split('#') is [var name, var number, var hash] && StreamName.TryParse(name, out var stream) && CsvColumns.Number(number) is { } n
            ? new Reference(null, stream, n, hash)
            : throw new RowRefused("reference-unreadable", "The column custody cannot be read.", "Give stream#number#hash.");
    }
}
