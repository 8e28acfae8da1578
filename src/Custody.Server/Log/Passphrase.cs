using Custody.Server.Configuring;
using Custody.Server.Private;

namespace Custody.Server.Log;

/// <summary>Where the passphrase of sealed keys comes from: a file, an environment variable, or a question at the terminal. Never an argument,
/// which anybody on the machine can list.</summary>
public sealed class Passphrase
{
    readonly Func<string, string?> ask;
    string? known;

    Passphrase(string? known, Func<string, string?> ask) => (this.known, this.ask) = (known, ask);

    /// <summary>There is none: sealed keys stay closed, new ones are not sealed.</summary>
    public static readonly Passphrase None = new(null, _ => null);

    /// <summary>What keys made now are sealed under; null when they are not. Whoever opened a sealed key gets sealed ones.</summary>
    public string? ForNew => known;

    /// <summary>The passphrase of a sealed file, or null when nobody can be asked. Asked for once.</summary>
    public string? Of(string path) => known ??= ask(path);

    /// <summary>As the environment says it, and with a question where somebody sits at a terminal.</summary>
    /// <param name="file">A file named for this command; goes before the environment.</param>
    /// <param name="sealing">Whether new keys are to be sealed even where the passphrase must be asked for.</param>
    /// <exception cref="LogFault">The file is missing, empty, or readable by others.</exception>
    public static Passphrase From(FileInfo? file, Func<string, string?> environment, bool sealing = false)
    {
        var path = file?.FullName ?? Settings.KeyPassphraseFile.In(environment);
        var given = path is { Length: > 0 } ? ReadFile(path) : environment(Settings.KeyPassphrase.Name) is { Length: > 0 } word ? word : null;
        if (given is null && sealing) given = AskTwice();
        return new(given, Ask);
    }

    static string ReadFile(string path)
    {
        if (!File.Exists(path)) throw new LogFault("passphrase-file", $"There is no passphrase file {path}.");
        if (OwnerOnly.WhyNot(path) is { } wide) throw new LogFault("passphrase-file", wide);
        var word = File.ReadAllText(path).TrimEnd('\r', '\n');
        return word.Length > 0 ? word : throw new LogFault("passphrase-file", $"The passphrase file {path} is empty.");
    }

    static string AskTwice()
    {
        var word = Ask("new keys");
        if (word is null) throw new LogFault("passphrase-missing", $"Nobody can be asked for a passphrase here. Name a file by --passphrase-file or {Settings.KeyPassphraseFile.Name}.");
        return Ask("new keys, again") == word ? word : throw new LogFault("passphrase-differs", "The two passphrases differ. Nothing was changed.");
    }

    static string? Ask(string what)
    {
        if (Console.IsInputRedirected || Console.IsErrorRedirected) return null;
        Console.Error.Write($"Passphrase of {what}: ");
        List<char> typed = [];
        for (var key = Console.ReadKey(intercept: true); key.Key != ConsoleKey.Enter; key = Console.ReadKey(intercept: true))
        {
            if (key.Key == ConsoleKey.Backspace && typed.Count > 0) typed.RemoveAt(typed.Count - 1);
            else if (!char.IsControl(key.KeyChar)) typed.Add(key.KeyChar);
        }
        Console.Error.WriteLine();
        return typed.Count > 0 ? new string([.. typed]) : null;
    }
}
