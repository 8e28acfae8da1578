using System.Text;
using CsvHelper;

namespace Custody.Server.Habits;

/// <summary>One record of a CSV file.</summary>
/// <param name="Line">Line on which it begins, from 1.</param>
sealed record CsvRecord(int Line, IReadOnlyList<string> Fields);

/// <summary>Comma-separated values strictly as RFC 4180 has them, by CsvHelper: nothing is guessed, mended or trimmed.</summary>
static class CsvText
{
    static readonly CsvReaderOptions Strict = new()
    {
        // Said, or the separator would be guessed from the first lines.
        Separator = ',',
        HasHeader = false,
        TrackLineNumbers = true,
        MalformedData = CsvMalformedDataHandling.Throw,
    };

    // Rejected rows keep fields beyond the header's, so records differ in length. Fields that a spreadsheet would read as a formula stay as they came: the
    // file is imported again, and a mended row must not differ from what was sent.
    static readonly CsvWriterOptions AsItCame = new() { Separator = ',', HasHeader = false, NewLine = "\r\n", ValidateFieldCount = false, Injection = CsvInjection.None };

    /// <summary>The records; lines with nothing in them are none. Null with the line where a record begins in which a quote never closes or is out of place.</summary>
    /// <param name="most">Reading stops after this many.</param>
    public static (IReadOnlyList<CsvRecord>? Records, long BadLine) Read(string text, int most)
    {
        List<CsvRecord> records = [];
        try
        {
            using var reader = CsvReader.Create((ReadOnlyMemory<byte>)Encoding.UTF8.GetBytes(text), Strict);
            while (records.Count < most && reader.Read())
                records.Add(new CsvRecord((int)reader.LineNumber, [.. Enumerable.Range(0, reader.FieldCount).Select(i => reader.GetString(i))]));
        }
        catch (CsvFormatException unfit)
        {
            return (null, unfit.LineNumber);
        }
        return (records, 0);
    }

    /// <summary>Records as lines with CRLF; quotes only where a field needs them.</summary>
    public static string Write(IEnumerable<IEnumerable<string>> records)
    {
        using StringWriter text = new();
        using (var writer = CsvWriter.Create(text, AsItCame, leaveOpen: true))
            foreach (var record in records) writer.WriteRecord([.. record]);
        return text.ToString();
    }
}
