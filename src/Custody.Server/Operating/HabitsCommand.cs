using System.CommandLine;
using System.Globalization;
using System.Text.Json;
using Custody.Bats;
using Custody.Server.Habits;
using Command = System.CommandLine.Command;

namespace Custody.Server.Operating;

/// <summary>The <c>habits import</c> command.</summary>
static class HabitsCommand
{
    public static Command Make(Option<DirectoryInfo> data)
    {
        Argument<FileInfo> file = new("file") { Description = "CSV file, UTF-8." };
        Option<string> habits = new("--habits") { Description = "Stream of the habit file.", Required = true };
        habits.Validators.Add(given =>
        {
            if (!(StreamName.TryParse(given.GetValueOrDefault<string>(), out var name) && name.Kind == "habits")) given.AddError("--habits takes habits/ and 26 characters.");
        });
        Option<string?> by = new("--by") { Description = "Party that records it; the file's keeper when left out." };
        by.Validators.Add(given =>
        {
            if (given.GetValueOrDefault<string?>() is { } said && !(StreamName.TryParse(said, out var name) && name.Kind == "party"))
                given.AddError("--by takes the name of a party's stream: party/ and 26 characters.");
        });
        Option<FileInfo?> rejects = new("--rejects") { Description = "Where rejected rows go, with their reasons; beside the file when left out." };
        Option<bool> json = new("--json") { Description = "As JSON." };
        Command import = new("import", "Record the occasions or usual zones of a CSV file; rows that are refused go to a file of their own with the reasons.") { file, habits, by, rejects, json, data };
        import.SetAction((p, ct) => Run(
            p.GetValue(data)!, p.GetValue(file)!, StreamName.Parse(p.GetValue(habits)!), p.GetValue(by) is { } party ? PartyId.Parse(party) : null,
            p.GetValue(rejects), p.GetValue(json), ct));
        return new Command("habits", "Files of players' habits.") { import };
    }

    static async Task<int> Run(DirectoryInfo data, FileInfo file, StreamName habits, PartyId? by, FileInfo? rejects, bool json, CancellationToken ct)
    {
        if (!HabitImportEndpoint.TryText(await File.ReadAllBytesAsync(file.FullName, ct), out var text))
            return Complaints.Say(new("csv-not-utf8", "The file is not text in UTF-8.", "Save it as UTF-8."));
        await using var ledger = await OpenedLedger.Open(data, ct);
        var (done, refused) = await ledger.Get<HabitImport>().Run(habits, text, by, ct);
        if (done is null) return Complaints.Say(refused!);
        var place = rejects?.FullName ?? Path.ChangeExtension(file.FullName, ".rejects.csv");
        if (done.RejectsCsv is { } csv) await File.WriteAllTextAsync(place, csv, ct);
        if (json) Console.WriteLine(JsonSerializer.Serialize(done, JsonText.Options));
        else
        {
            Console.WriteLine($"{Number(done.Rows)} rows: {Number(done.Taken.Count(t => !t.Again))} recorded, {Number(done.Taken.Count(t => t.Again))} recorded before, {Number(done.Rejected.Count)} refused.");
            foreach (var row in done.Rejected) Console.WriteLine($"  line {Number(row.Line)}: {row.Sentence} ({row.Code}) {row.Remedy}");
            if (done.RejectsCsv is not null) Console.WriteLine($"Refused rows: {place}");
        }
        return done.Rejected.Count == 0 ? 0 : 1;
    }

    static string Number(int number) => number.ToString(CultureInfo.InvariantCulture);
}
