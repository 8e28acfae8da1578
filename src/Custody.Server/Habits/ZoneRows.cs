using Custody.Bats;
using Custody.Evidence;

namespace Custody.Server.Habits;

/// <summary>Rows that tell of usual zones. Columns: <c>row</c>, <c>characteristic</c> (number or title), <c>value</c> (number or name; nothing for whichever),
/// <c>fromInches</c> and <c>toInches</c> from the knob, <c>fromDegrees</c> and <c>toDegrees</c> from the centre of the brand (neither for all the way round),
/// <c>occasions</c> (entries with #, apart by spaces), <c>replaces</c>, <c>remarks</c>.</summary>
sealed class ZoneRows : HabitRows
{
    internal const string Characteristic = "characteristic", Value = "value", FromInches = "fromInches", ToInches = "toInches", FromDegrees = "fromDegrees",
        ToDegrees = "toDegrees", Occasions = "occasions", Replaces = "replaces", Remarks = "remarks";

    static readonly string[] Known = [Row, Characteristic, Value, FromInches, ToInches, FromDegrees, ToDegrees, Occasions, Replaces, Remarks];

    readonly IReadOnlyList<Entry> file;

    ZoneRows(CsvColumns columns, IReadOnlyList<Entry> file) : base(columns) => this.file = file;

    internal static (HabitRows? Rows, Refusal? Refused) Of(CsvColumns columns, IReadOnlyDictionary<string, int> places, IReadOnlyList<Entry> file) =>
        places.FirstOrDefault(p => !Known.Contains(p.Key) && !Reasons.Contains(p.Key)) is { Key: not null } unknown
            ? (null, new("column-unknown", $"Column {CsvColumns.Text(unknown.Value + 1)} is none of a usual zone.", $"Use {string.Join(", ", Known)}."))
        : columns.Has(Characteristic) && columns.Has(FromInches) && columns.Has(ToInches)
            ? (new ZoneRows(columns, file), null)
            : (null, new("column-missing", "There is no column for the characteristic, or none for where the zone begins and ends.", "Give them."));

    protected override HabitCommand Told(CsvRecord record, IReadOnlyDictionary<string, long> known, PartyId by)
    {
        if (Defined(file, Columns.Field(record, Characteristic)) is not { Fact: CharacteristicDefined defined } at)
            throw new RowRefused("no-such-characteristic", "The row names no characteristic of this file.", "Name it by its number or title.");
        var (start, end) = (Measure(record, FromDegrees, "deg"), Measure(record, ToDegrees, "deg"));
        SurfacePlace place = new(
            start is null && end is null ? SurfaceShape.Band : SurfaceShape.Patch, SurfaceDatum.Brand,
            Measure(record, FromInches, "[in_i]") ?? throw new RowRefused("place-incomplete", "The row does not say where the zone begins.", "Give inches from the knob."),
            Measure(record, ToInches, "[in_i]"), start, end);
        return new RecordUsualZone(
            at.N, ValueOf(Columns.Field(record, Value), defined), place,
            [.. Columns.Field(record, Occasions).Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(o => CsvColumns.Entry(o, Occasions, known))],
            Columns.Field(record, Replaces) is { Length: > 0 } old ? CsvColumns.Entry(old, Replaces, known) : null, Columns.Words(record, Remarks))
        { By = by };
    }

    static int? ValueOf(string text, CharacteristicDefined defined)
    {
        if (text.Length == 0) return null;
        var value = CsvColumns.Number(text) ?? ((defined.ValueNames?.Value.ToList().IndexOf(text) ?? -1) + 1);
        return value >= 1 && value <= defined.Characteristic.Values
            ? (int)value
            : throw new RowRefused("value-unknown", "The column value holds no value of the characteristic.", "Give a value's number or name, or nothing.");
    }

    Quantity? Measure(CsvRecord record, string column, string unit)
    {
        if (Columns.Field(record, column) is not { Length: > 0 } text) return null;
        return DecimalText.TryParse(text, out var number, out var refusal)
            ? Quantity.Of(number, Unit.Find(unit)!)
            : throw new RowRefused(refusal.Code, $"The column {column}: {refusal.Sentence}", refusal.Remedy);
    }
}
