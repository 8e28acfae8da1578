using System.CommandLine;
using Custody.Server.Log;
using Command = System.CommandLine.Command;

namespace Custody.Server.Operating.Keys;

/// <summary>The command <c>key</c>: the keeper's acts on the key that signs the log and the one promised to follow it.</summary>
static class KeyCommand
{
    static readonly Option<FileInfo?> PassphraseFile = new("--passphrase-file") { Description = "File with the passphrase; otherwise the environment or a question." };
    static readonly Option<bool> Seal = new("--seal") { Description = "Seal new keys under a passphrase." };
    static readonly Option<FileInfo?> TakeOut = new("--take-out") { Description = "File to take the promised next key away in, kept offline." };
    static readonly Option<FileInfo?> Next = new("--next") { Description = "File in which the promised next key was kept." };

    /// <param name="data">The option that names the data folder, common to all commands.</param>
    public static Command Make(Option<DirectoryInfo> data)
    {
        var key = new Command("key", "The key that signs the log, and the one promised next.");
        key.Subcommands.Add(Sub("new", "Make the key that signs and the next one, before the ledger is opened.", [data, Seal, PassphraseFile, TakeOut],
            (parsed, _) => Task.FromResult(KeyFiles.New(parsed.GetValue(data)!, Words(parsed), parsed.GetValue(TakeOut)))));
        key.Subcommands.Add(Sub("show", "Show the public keys, and where the secret ones lie.", [data],
            (parsed, _) => Task.FromResult(KeyFiles.Show(parsed.GetValue(data)!))));
        key.Subcommands.Add(Sub("seal", "Seal the keys in the data folder under a passphrase.", [data, PassphraseFile],
            (parsed, _) => Task.FromResult(KeyFiles.SealThose(parsed.GetValue(data)!, Passphrase.From(parsed.GetValue(PassphraseFile), Environment.GetEnvironmentVariable, sealing: true)))));
        Argument<FileInfo> file = new("file") { Description = "Where to: a medium that is kept offline." };
        key.Subcommands.Add(Sub("take-out", "Take the promised next key out of the data folder.", [file, data],
            (parsed, _) => Task.FromResult(KeyFiles.TakeAway(parsed.GetValue(data)!, parsed.GetValue(file)!))));
        key.Subcommands.Add(Changing("change", "Hand over to the promised next key; both sign.", compromised: false, data));
        key.Subcommands.Add(Changing("compromised", "The present key is no longer ours alone: the promised next key takes over at once.", compromised: true, data));
        return key;
    }

    static Command Changing(string word, string description, bool compromised, Option<DirectoryInfo> data) =>
        Sub(word, description, [data, Next, Seal, PassphraseFile, TakeOut], (parsed, ct) => KeyChanging.Run(
            parsed.GetValue(data)!, new(compromised, parsed.GetValue(Next), Words(parsed), parsed.GetValue(TakeOut)), ct));

    static Passphrase Words(ParseResult parsed) => Passphrase.From(parsed.GetValue(PassphraseFile), Environment.GetEnvironmentVariable, parsed.GetValue(Seal));

    static Command Sub(string word, string description, Symbol[] symbols, Func<ParseResult, CancellationToken, Task<int>> run)
    {
        var command = new Command(word, description);
        foreach (var symbol in symbols)
        {
            if (symbol is Argument argument) command.Arguments.Add(argument);
            if (symbol is Option option) command.Options.Add(option);
        }
        command.SetAction(run);
        return command;
    }
}
