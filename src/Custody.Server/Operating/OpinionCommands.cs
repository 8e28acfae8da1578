using System.CommandLine;
using System.Text.Json;
using Custody.Bats;
using Custody.Server.Readings;
using Custody.Server.Recording;
using Command = System.CommandLine.Command;

namespace Custody.Server.Operating;

/// <summary>The commands around opinions: <c>review</c>, <c>check-text</c>, <c>recompute</c>. They record nothing.</summary>
static class OpinionCommands
{
    public static IEnumerable<Command> Make(Option<DirectoryInfo> data)
    {
        yield return Review(data);
        yield return CheckText(data);
        yield return RecomputeCommand.Make(data);
    }

    static Command Review(Option<DirectoryInfo> data)
    {
        var (bat, json) = (BenchCommands.Bat(), BenchCommands.Json());
        Command command = new("review", "All prior opinions of a bat side by side, for whoever is to grade it again.") { bat, json, data };
        command.SetAction(async (parsed, ct) =>
        {
            await using var ledger = await OpenedLedger.Open(parsed.GetValue(data)!, ct);
            if (await ledger.Get<ReadingDesk>().HistoryOf(parsed.GetValue(bat)!, ct) is not { } history)
                return Complaints.Say(BatFinder.Unknown(parsed.GetValue(bat)));
            var reading = history.AsCorrected();
            var review = reading.Review(await ledger.Get<RecomputeDesk>().Cited(reading, ct));
            if (parsed.GetValue(json)) Console.WriteLine(JsonSerializer.Serialize(review, BenchCommands.Indented));
            else foreach (var line in OpinionText.Of(review)) Console.WriteLine(line);
            return 0;
        });
        return command;
    }

    static Command CheckText(Option<DirectoryInfo> data)
    {
        var (bat, json) = (BenchCommands.Bat(), BenchCommands.Json());
        Option<FileInfo> claims = new("--claims") { Description = "File of claims: a JSON array, as the API takes them.", Required = true };
        Command command = new("check-text", "What a lot's text claims, checked against the record of a bat: supported, not recorded or contradicted.") { bat, claims, json, data };
        command.SetAction((parsed, ct) =>
        {
            var (read, refused) = Read(parsed.GetValue(claims)!);
            return read is null ? Task.FromResult(Complaints.Say(refused!)) : BenchCommands.Run(parsed.GetValue(data)!, parsed.GetValue(bat)!, parsed.GetValue(json), r =>
                CatalogueCheck.Of(r, read) is var (check, unfit) && check is not null ? ((check, OpinionText.Of(check)), null) : (null, unfit), ct);
        });
        return command;
    }

    static (IReadOnlyList<CatalogueClaim>? Claims, Refusal? Refused) Read(FileInfo file)
    {
        if (!file.Exists) return (null, new("no-such-file", $"There is no file {file.FullName}.", "Name a file of claims."));
        try
        {
            return (JsonSerializer.Deserialize<IReadOnlyList<CatalogueClaim>>(File.ReadAllBytes(file.FullName), JsonText.Options) ?? [], null);
        }
        catch (ValueRefused refused)
        {
            return (null, refused.Refusal);
        }
        catch (JsonException unread)
        {
            return (null, new("claims-unreadable", $"The claims cannot be read at {unread.Path ?? "their beginning"}.", "Give a JSON array of claims, as /api/openapi.json describes them."));
        }
    }
}
