using System.Globalization;
using Custody.Ledger;

namespace Custody.Verifier;

/// <summary>Which public log the reader wants asked: none unless he says so.</summary>
sealed record LogChoice(Uri? Address, string? Folder, bool LaterOnly, int PatienceSeconds)
{
    internal const string Usage = """
          --online  asks the ledger's public log at this address what came later; this alone uses the network
          --tiles   folder with the log's files, read instead of the network; with --online they are saved there
          --later   reads only what came after the dossier: quicker, and finds no second entry from before
          --patience  longest wait for one file, in seconds (30)
        """;

    internal static LogChoice None { get; } = new(null, null, false, 30);

    internal bool Asked => Address is not null || Folder is not null;

    /// <summary>Takes an option that is about the log; null with a sentence when its value is not understood.</summary>
    internal LogChoice? With(string option, string value, out string fault)
    {
        fault = "";
        switch (option)
        {
            case "--online" when WebLog.Address(value) is { } address:
                return this with { Address = address };
            case "--online":
                fault = "--online takes an address: http:// or https://, without name, query or fragment.";
                return null;
            case "--tiles":
                return this with { Folder = value };
            case "--patience" when int.TryParse(value, NumberStyles.None, CultureInfo.InvariantCulture, out var seconds) && seconds is > 0 and <= 3600:
                return this with { PatienceSeconds = seconds };
            default:
                fault = "--patience takes seconds, from 1 to 3600.";
                return null;
        }
    }

    /// <summary>Lets something use the log.</summary>
    internal T Use<T>(Func<IPublicLog?, T> use)
    {
        if (!Asked) return use(null);
        using var web = Address is { } address ? new WebLog(address, TimeSpan.FromSeconds(PatienceSeconds)) : null;
        return use(Folder is { } folder ? new SavedLog(folder, web) : web);
    }
}
