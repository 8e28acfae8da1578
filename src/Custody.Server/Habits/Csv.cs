using System.Text;

namespace Custody.Server.Habits;

/// <summary>One record of a CSV file.</summary>
/// <param name="Line">Line on which it begins, from 1.</param>
sealed record CsvRecord(int Line, IReadOnlyList<string> Fields);

/// <summary>Comma-separated values as RFC 4180 has them: quotes around a field, doubled inside it; CRLF or LF. Nothing is guessed.</summary>
static class Csv
{
    /// <summary>The records; lines with nothing in them are none. Null with the line of a quote that never closes, or that stands inside a bare field.</summary>
    public static (IReadOnlyList<CsvRecord>? Records, int BadLine) Read(string text)
    {
        List<CsvRecord> records = [];
        List<string> fields = [];
        StringBuilder field = new();
        var (line, begun, at) = (1, 1, text.StartsWith('\uFEFF') ? 1 : 0);
        while (at < text.Length)
        {
            if (text[at] == '"')
            {
                if (field.Length > 0) return (null, line);
                var opened = line;
                for (at++; ; at++)
                {
                    if (at >= text.Length) return (null, opened);
                    if (text[at] == '\n') line++;
                    if (text[at] != '"') field.Append(text[at]);
                    else if (at + 1 < text.Length && text[at + 1] == '"') field.Append(text[at++]);
                    else break;
                }
                at++;
                if (at < text.Length && text[at] is not (',' or '\r' or '\n')) return (null, line);
            }
            else if (text[at] == ',')
            {
                Take();
                at++;
            }
            else if (text[at] is '\r' or '\n')
            {
                End();
                at += text[at] == '\r' && at + 1 < text.Length && text[at + 1] == '\n' ? 2 : 1;
                begun = ++line;
            }
            else field.Append(text[at++]);
        }
        End();
        return (records, 0);

        void Take()
        {
            fields.Add(field.ToString());
            field.Clear();
        }

        void End()
        {
            if (fields.Count == 0 && field.Length == 0) return;
            Take();
            records.Add(new CsvRecord(begun, fields));
            fields = [];
        }
    }

    /// <summary>One record as a line, with CRLF.</summary>
    public static string Line(IEnumerable<string> fields) => string.Join(',', fields.Select(Quoted)) + "\r\n";

    static string Quoted(string field) => field.AsSpan().IndexOfAny("\",\r\n") < 0 ? field : $"\"{field.Replace("\"", "\"\"", StringComparison.Ordinal)}\"";
}
