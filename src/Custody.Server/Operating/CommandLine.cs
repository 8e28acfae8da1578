using System.CommandLine;
using Custody.Bats;
using Custody.Evidence.Text;
using Custody.Server.Database;
using Custody.Server.Labels;
using Custody.Server.Log;
using Custody.Transparency;
using Command = System.CommandLine.Command;

namespace Custody.Server.Operating;

/// <summary>The server's commands. Each says on standard error what is wrong and what to do, and ends with a code that is not 0.</summary>
static class CommandLine
{
    static readonly Option<DirectoryInfo> Data = new("--data")
    {
        Description = "Folder of the ledger: private database, keys, log, photographs.",
        DefaultValueFactory = _ => new DirectoryInfo("data"),
    };

    /// <summary>Every command with its options, as <c>--help</c> tells them.</summary>
    internal static RootCommand Root()
    {
        var root = new RootCommand("Custody: a ledger of provenance and chain of custody for bats said to have been used in play.") { Serve(), Dossier(), Label(), CheckerCommand.Make(Data), Rebuild(), ErasingCommand.Make(Data), HolderSecretCommand.Make(Data) };
        root.Subcommands.Add(Demo.DemoCommand.Make(Data));
        root.Subcommands.Add(CosignCommand.Make(Data));
        root.Subcommands.Add(CosignCommand.MakeStamp(Data));
        root.Subcommands.Add(Keys.KeyCommand.Make(Data));
        foreach (var command in BenchCommands.Make(Data).Concat(OpinionCommands.Make(Data)).Concat(AmountCommands.Make(Data))) root.Subcommands.Add(command);
        root.Subcommands.Add(AuditCommand.Make(Data));
        root.Subcommands.Add(BackupCommand.Make(Data));
        root.Subcommands.Add(Accounts.AccountCommand.Make(Data));
        root.Subcommands.Add(RestoreCommand.Make(Data));
        foreach (var command in WeighingCommands.Make(Data)) root.Subcommands.Add(command);
        root.Subcommands.Add(HabitsCommand.Make(Data));
        root.Subcommands.Add(SettingsCommand.Make());
        return root;
    }

    public static async Task<int> Run(string[] args)
    {
        // The framework's own commands (codegen, resources) need the host only, no database.
        if (args is ["codegen", ..]) return await Generating.Run(args);
        if (!TextAtTheDoor.NormalisationWorks())
            return await Say("Text cannot be brought to Unicode normalisation form C here, so names could enter the ledger in two spellings.",
                "Run without invariant globalisation (unset DOTNET_SYSTEM_GLOBALIZATION_INVARIANT) and with ICU installed.", CannotStart);
        try
        {
            return await Root().Parse(args).InvokeAsync(new() { EnableDefaultExceptionHandler = false });
        }
        catch (DatabaseUnavailable unavailable)
        {
            return await Say(unavailable.Sentence, unavailable.Remedy, DatabaseUnavailable.ExitCode);
        }
        catch (Configuring.SettingFault wrong)
        {
            return await Say(wrong.Message, "Correct it, or leave it out. ops/configuration.md lists every setting.", CannotStart);
        }
        catch (Malformed malformed)
        {
            return await Say($"{malformed.Sentence} ({malformed.Code})", "A file that this command reads is not what it must be: a policy, a key, a checkpoint.", CannotStart);
        }
        catch (LogFault fault)
        {
            return await Say($"{fault.Message} ({fault.Code})", "Nothing was given out.", CannotStart);
        }
        catch (IOException unwritten)
        {
            return await Say(unwritten.Message, "Look at the folder's permissions, the disk's free space, and whether another program uses the address or the file.", CannotStart);
        }
        catch (UnauthorizedAccessException forbidden)
        {
            return await Say(forbidden.Message, "Give a folder that this user may write, with --data or --out.", CannotStart);
        }
    }

    /// <summary>Exit code when the program cannot do its work here at all.</summary>
    const int CannotStart = 4;

    static async Task<int> Say(string sentence, string remedy, int code)
    {
        await Console.Error.WriteLineAsync($"{sentence}\n{remedy}");
        return code;
    }

    static Command Serve()
    {
        Option<string> urls = new("--urls") { Description = "Address to answer on.", DefaultValueFactory = _ => "http://127.0.0.1:5080" };
        var serve = new Command("serve", "Run the server.") { Data, urls };
        serve.SetAction((parsed, ct) => Serving.Run(parsed.GetValue(Data)!, parsed.GetValue(urls)!, ct));
        return serve;
    }

    static Command Dossier()
    {
        Argument<string> bat = new("bat") { Description = "Short number or stream name." };
        Option<string[]> reveal = new("--reveal") { Description = "Withheld values to show: a field's name, one place (1/parties/p1/name), or all; separated by commas.", DefaultValueFactory = _ => [] };
        Option<FileInfo[]> earlier = new("--earlier") { Description = "Dossier of the other ledger that this history continues from.", DefaultValueFactory = _ => [] };
        Option<string?> issuedFor = new("--for") { Description = "Whom it is for; withheld." };
        Option<DirectoryInfo> folder = new("--out") { Description = "Folder to write into.", DefaultValueFactory = _ => new DirectoryInfo("out") };
        Option<bool> preview = new("--preview") { Description = "List what can be shown and write exactly what the reader would see; hand nothing out." };
        var dossier = new Command("dossier", "Write a bat's dossier.") { bat, reveal, earlier, issuedFor, preview, folder, Data };
        dossier.SetAction((parsed, ct) => Disclosing.Run(
            parsed.GetValue(Data)!, parsed.GetValue(bat)!, parsed.GetValue(reveal)!, parsed.GetValue(earlier)!, parsed.GetValue(issuedFor),
            parsed.GetValue(preview), parsed.GetValue(folder)!, ct));
        return dossier;
    }

    static Command Rebuild()
    {
        var rebuild = new Command("rebuild", "Make every read model again from the entries.") { Data };
        rebuild.SetAction((parsed, ct) => Rebuilds.Run(parsed.GetValue(Data)!, ct));
        return rebuild;
    }

    static Command Label()
    {
        Argument<string> bat = new("bat") { Description = "Short number or stream name." };
        Option<string?> by = new("--by") { Description = "Party that issues it; the present custodian when left out." };
        by.Validators.Add(given =>
        {
            if (given.GetValueOrDefault<string?>() is { } said && !(StreamName.TryParse(said, out var name) && name.Kind == "party"))
                given.AddError("--by takes the name of a party's stream: party/ and 26 characters.");
        });
        Option<LabelForm> form = new("--form") { Description = "What it is printed on.", DefaultValueFactory = _ => LabelForm.Card };
        Option<LabelPlace> affixed = new("--affixed") { Description = "Where it is fixed. Never on the wood.", DefaultValueFactory = _ => LabelPlace.TiedTag };
        Option<string> host = new("--host") { Description = "Host name in the label's address.", DefaultValueFactory = _ => "custody.example" };
        Option<string> house = new("--house") { Description = "Name printed on it.", DefaultValueFactory = _ => "Custody" };
        Option<string> sheet = new("--sheet") { Description = "Label stock, by size.", DefaultValueFactory = _ => LabelSheet.A4With21.Name };
        sheet.AcceptOnlyFromAmong([.. LabelSheet.Common.Select(s => s.Name)]);
        Option<int> startAt = new("--start-at") { Description = "First free label of a part-used sheet, from 1.", DefaultValueFactory = _ => 1 };
        Option<DirectoryInfo> folder = new("--out") { Description = "Folder to write into.", DefaultValueFactory = _ => new DirectoryInfo("out") };
        var label = new Command("label", "Issue a label for a bat and print it.") { bat, by, form, affixed, host, house, sheet, startAt, folder, Data };
        label.SetAction((parsed, ct) => LabelPrinting.Run(
            parsed.GetValue(Data)!,
            new LabelPrinting.Wish(
                parsed.GetValue(bat)!, parsed.GetValue(by) is { } party ? PartyId.Parse(party) : null, parsed.GetValue(form), parsed.GetValue(affixed),
                parsed.GetValue(host)!, parsed.GetValue(house)!, LabelSheet.Common.Single(s => s.Name == parsed.GetValue(sheet)), parsed.GetValue(startAt)),
            parsed.GetValue(folder)!, ct));
        return label;
    }
}
