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

/// <summary>The columns of a CSV file by name, and what their fields say.</summary>
sealed class CsvColumns(IReadOnlyDictionary<string, int> places)
{
    public int Count => places.Count;

    public bool Has(string column) => places.ContainsKey(column);

    public IEnumerable<string> Names => places.Keys.Order(StringComparer.Ordinal);

    /// <summary>A field without the space around it; empty when there is no such column or the record ends before it.</summary>
    public string Field(CsvRecord record, string column) => places.TryGetValue(column, out var i) ? Cell(record, i) : "";

    public static string Cell(CsvRecord record, int column) => column < record.Fields.Count ? record.Fields[column].Trim() : "";

    /// <summary>Typed words, or null for none.</summary>
    /// <exception cref="RowRefused">Text that does not come in at the door.</exception>
    public string? Words(CsvRecord record, string column)
    {
        if (!TextAtTheDoor.Check(Field(record, column), Door.MaxText, out var fit, out var unfit)) throw new RowRefused(unfit.Code, unfit.Sentence, unfit.Remedy);
        return fit.Length == 0 ? null : fit;
    }

    /// <summary>A word to choose from, in camel case; null for none.</summary>
    /// <exception cref="RowRefused">Another word.</exception>
    public TWord? Word<TWord>(CsvRecord record, string column) where TWord : struct, Enum
    {
        var text = Field(record, column);
        return text.Length == 0 ? null
            : Enum.GetValues<TWord>().Where(w => string.Equals(Camel(w), text, StringComparison.Ordinal)).Select(w => (TWord?)w).FirstOrDefault()
                ?? throw new RowRefused("word-unknown", $"The column {column} holds a word that is not known.", $"Use one of {string.Join(", ", Enum.GetValues<TWord>().Select(Camel))}.");
    }

    /// <summary>A date; null for none.</summary>
    /// <exception cref="RowRefused">It is no EDTF.</exception>
    public Edtf? Date(CsvRecord record, string column) => Field(record, column) is not { Length: > 0 } text ? null
        : Edtf.TryParse(text, out var date, out var refusal) ? date : throw new RowRefused(refusal.Code, refusal.Sentence, refusal.Remedy);

    /// <summary>Another entry: # and its number, or the name of a row above.</summary>
    /// <param name="known">Entries of rows above, by their names.</param>
    /// <exception cref="RowRefused">It names nothing that is recorded.</exception>
    public static long Entry(string text, string column, IReadOnlyDictionary<string, long> known) =>
        text[0] == '#' && Number(text[1..]) is { } n ? n
        : known.TryGetValue(text, out var entry) ? entry
        : throw new RowRefused("row-not-recorded", $"The column {column} names a row that is not recorded.", "Name a row above that was taken, or # and an entry's number.");

    public static long? Number(string text) => long.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var n) ? n : null;

    public static string Text(long number) => number.ToString(CultureInfo.InvariantCulture);

    static string Camel<TWord>(TWord word) where TWord : struct, Enum => char.ToLowerInvariant(word.ToString()[0]) + word.ToString()[1..];
}
