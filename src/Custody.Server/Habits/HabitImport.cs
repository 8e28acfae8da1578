using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using Custody.Bats;
using Custody.Server.Recording;

namespace Custody.Server.Habits;

/// <summary>A row that was recorded, now or by an earlier run.</summary>
public sealed record RowTaken(int Line, long Entry, bool Again);

/// <summary>A row that was not recorded.</summary>
public sealed record RowRejected(int Line, string Code, string Sentence, string Remedy);

/// <summary>What became of every row: none is lost.</summary>
/// <param name="RejectsCsv">The rejected rows as they came, with the reasons beside them: mend them there and import that file. Null when there are none.</param>
public sealed record ImportedRows(int Rows, IReadOnlyList<RowTaken> Taken, IReadOnlyList<RowRejected> Rejected, string? RejectsCsv);

/// <summary>Imports occasions or usual zones from a CSV file, each row an act of its own through the one path of recording.</summary>
public sealed class HabitImport(Histories histories, Recorder recorder, BatFinder parties)
{
    /// <summary>Most rows of one file.</summary>
    public const int MostRows = 10_000;

    /// <summary>Records every row that the rules permit. A row's key follows from its content, so that importing a file again records nothing twice; of rows
    /// that are alike in everything each counts by its place among them.</summary>
    /// <param name="by">Who records it; the file's keeper when null.</param>
    public async Task<(ImportedRows? Done, Refusal? Refused)> Run(StreamName habits, string text, PartyId? by, CancellationToken ct)
    {
        var file = await histories.Shown(habits, ct);
        if (file is not [{ Fact: HabitFileOpened opened }, ..]) return (null, new("file-unknown", "There is no such habit file in this ledger.", "Look its name up again."));
        if ((by ?? await parties.Behind(habits, opened.Keeper, ct)) is not { } keeper)
            return (null, new("keeper-erased", "The file's keeper was erased.", "Say who records it."));
        var (records, bad) = CsvText.Read(text, MostRows + 2);
        if (records is null) return (null, new("csv-unreadable", $"A quote is out of place on line {bad.ToString(CultureInfo.InvariantCulture)}.", "Write the file as RFC 4180 has it."));
        if (records.Count < 2 || records.Count > MostRows + 1)
            return (null, new("csv-rows", "The file has no rows, or too many.", $"Give a header and 1 to {MostRows.ToString(CultureInfo.InvariantCulture)} rows."));
        var (rows, refused) = HabitRows.Of(records[0].Fields, file);
        return rows is null ? (null, refused) : (await Each(habits, rows, records, keeper, ct), null);
    }

    async Task<ImportedRows> Each(StreamName habits, HabitRows rows, IReadOnlyList<CsvRecord> records, PartyId by, CancellationToken ct)
    {
        List<RowTaken> taken = [];
        List<RowRejected> rejected = [];
        Dictionary<string, long> known = new(StringComparer.Ordinal);
        Dictionary<string, int> alike = new(StringComparer.Ordinal);
        foreach (var record in records.Skip(1))
        {
            try
            {
                var content = string.Join('\n', rows.Content(record));
                alike[content] = alike.GetValueOrDefault(content) + 1;
                var name = rows.NameOf(record);
                if (name.Length > 0 && known.ContainsKey(name)) throw new RowRefused("row-twice", "Another row above has this name.", "Name each row once.");
                var (entry, again) = await Record(habits, rows.Read(record, known, by), Key(habits, content, alike[content]), ct);
                if (name.Length > 0) known[name] = entry;
                taken.Add(new(record.Line, entry, again));
            }
            catch (RowRefused refused)
            {
                rejected.Add(new(record.Line, refused.Refusal.Code, refused.Refusal.Sentence, refused.Refusal.Remedy));
            }
        }
        return new ImportedRows(records.Count - 1, taken, rejected, rejected.Count == 0 ? null : Rejects(records, rejected));
    }

    async Task<(long Entry, bool Again)> Record(StreamName habits, HabitCommand command, string key, CancellationToken ct)
    {
        // Somebody else may be recording on the file: once more, then the row says so and can be imported again.
        for (var tries = 0; ; tries++)
        {
            switch (await recorder.Record(habits, command, new Request(key), ct))
            {
                case Recorded recorded: return (recorded.Entries[0].N, recorded.Again);
                case Refused refused: throw new RowRefused(refused.Refusals[0]);
                case Conflicted when tries < 3: continue;
                default: throw new RowRefused("conflict", "Another act on the file came first. Nothing was recorded.", "Import the row again.");
            }
        }
    }

    static string Key(StreamName habits, string content, int place) => "csv-" + Convert.ToHexStringLower(
        SHA256.HashData(Encoding.UTF8.GetBytes($"{habits}\n{place.ToString(CultureInfo.InvariantCulture)}\n{content}")));

    static string Rejects(IReadOnlyList<CsvRecord> records, IReadOnlyList<RowRejected> rejected)
    {
        var why = rejected.ToDictionary(r => r.Line);
        IReadOnlyList<string> header = [.. records[0].Fields];
        // A file of rejects that is imported again has these columns already.
        int[] kept = [.. Enumerable.Range(0, header.Count).Where(i => !HabitRows.Reasons.Contains(header[i].Trim()))];
        return CsvText.Write([[.. kept.Select(i => header[i]), .. HabitRows.Reasons], .. records.Skip(1).Where(r => why.ContainsKey(r.Line)).Select(Told)]);

        // More fields than the header: all of them are kept, at the end, so that nothing is lost.
        IEnumerable<string> Told(CsvRecord record) =>
        [
            .. kept.Select(i => i < record.Fields.Count ? record.Fields[i] : ""), why[record.Line].Code, why[record.Line].Sentence, why[record.Line].Remedy,
            .. record.Fields.Skip(header.Count),
        ];
    }
}
