using System.Globalization;
using Custody.Ledger;
using Custody.Transparency;

namespace Custody.Verifier;

/// <summary><c>custody-verify misconduct</c>: makes a proof against a ledger's key from what was kept, and judges such a proof.</summary>
static class MisconductCommand
{
    internal const string Name = "misconduct";

    internal const string Usage = """
        custody-verify misconduct make FILE... --out FILE [--key VKEY]... [--online URL] [--tiles DIR]
        custody-verify misconduct check FILE

          make      looks through dossiers, checkpoints, heads and requests that a cosigner refused for what a ledger cannot
                    have done honestly: two trees that do not go together, two entries of one place, a head that denies an entry
          check     exit code 0 only if the file convicts; says whom, by key
        """;

    internal static int Run(string[] args, TextWriter output, TextWriter errors)
    {
        try
        {
            return args switch
            {
                ["check", var file] => Check(file, output, errors),
                ["make", .. var rest] => Make(rest, output, errors),
                _ => NotUnderstood(errors, "Make a proof, or check one?"),
            };
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or NotSupportedException)
        {
            errors.WriteLine(TerminalText.Safe(failure.Message));
            return CommandLine.NoDossier;
        }
    }

    static int Check(string path, TextWriter output, TextWriter errors)
    {
        Misconduct evidence;
        try
        {
            evidence = MisconductFile.Read(KeptFiles.Bytes(path, MisconductFile.MaxBytes));
        }
        catch (Malformed malformed)
        {
            errors.WriteLine(TerminalText.Safe($"{path}: {malformed.Sentence} ({malformed.Code})"));
            return CommandLine.NoDossier;
        }
        var judgement = MisconductJudge.Judge(evidence);
        output.WriteLine(TerminalText.Safe(judgement.Convicts
            ? $"CONVICTS {evidence.Key.Text}"
            : $"Does not convict {evidence.Key.Text}"));
        output.WriteLine(TerminalText.Safe(judgement.Sentence));
        if (judgement.Convicts)
            output.WriteLine("Compare the key with the one the ledger publishes: nothing here says whose it is. Whoever held it signed this, the ledger or a thief.");
        return judgement.Convicts ? CommandLine.NothingFailed : CommandLine.SomethingFailed;
    }

    static int Make(string[] args, TextWriter output, TextWriter errors)
    {
        if (Wish.Read(args, out var fault) is not { } wish) return NotUnderstood(errors, fault);
        var kept = KeptFiles.Read(wish.Files);
        var (keys, notes, found) = ((IReadOnlyList<VerifierKey>)[.. wish.Keys, .. kept.Keys], kept.Notes, kept.Found);
        if (keys.Count == 0) return NotUnderstood(errors, "Whose signatures? Give a dossier of the ledger, or its key (--key).");
        try
        {
            found ??= kept.Refused.SelectMany(r => notes.Select(n => MisconductSearch.Refused(keys, n, r))).FirstOrDefault(m => m is not null);
            found ??= wish.Log.Use(log => Search(keys, notes, log));
        }
        catch (LogUnavailable unavailable)
        {
            errors.WriteLine(TerminalText.Safe($"The public log could not be read. {unavailable.Sentence} ({unavailable.Code})"));
            return CommandLine.NoAnswer;
        }
        if (found is null)
        {
            output.WriteLine(string.Create(CultureInfo.InvariantCulture, $"Nothing was found against {keys.Distinct().Count()} keys in {notes.Distinct().Count()} notes{(wish.Log.Asked ? " and the log" : "")}."));
            if (MisconductSearch.AcrossKeys(keys, notes) is { } across)
                output.WriteLine(TerminalText.Safe(string.Create(CultureInfo.InvariantCulture, $"But two trees of {across.Size} entries are signed by two keys of one ledger, {across.One.Text} and {across.Other.Text}. A proof convicts one key; keep both, with the entries that changed the key (check 5 of a dossier follows them).")));
            if (kept.Refused.Count > 0 && !wish.Log.Asked)
                output.WriteLine("A request that was refused proves nothing by itself where its proof leaves the earlier root out, as from a size that is a power of two. Ask the log that sent it (--online, --tiles).");
            return CommandLine.SomethingFailed;
        }
        File.WriteAllBytes(wish.Out, MisconductFile.Write(found));
        output.WriteLine(TerminalText.Safe($"{wish.Out} convicts {found.Key.Text}"));
        output.WriteLine(TerminalText.Safe(MisconductJudge.Judge(found).Sentence));
        return CommandLine.NothingFailed;
    }

    // The log is one ledger's and signed by its present key: other keys are only compared with what was kept.
    static Misconduct? Search(IReadOnlyList<VerifierKey> keys, IReadOnlyList<string> notes, IPublicLog? log)
    {
        foreach (var key in keys.Distinct())
            if (MisconductSearch.Find(key, notes, null) is { } found) return found;
        if (log is null) return null;
        LogUnavailable? last = null;
        foreach (var key in keys.Distinct().Reverse())
        {
            try
            {
                return MisconductSearch.Find(key, notes, log);
            }
            catch (LogUnavailable other) when (other.Code == "log-key")
            {
                last = other;
            }
        }
        throw last!;
    }

    static int NotUnderstood(TextWriter errors, string fault)
    {
        errors.WriteLine(TerminalText.Safe(fault));
        errors.WriteLine(Usage);
        return CommandLine.NoDossier;
    }

    sealed record Wish(IReadOnlyList<string> Files, IReadOnlyList<VerifierKey> Keys, string Out, LogChoice Log)
    {
        internal static Wish? Read(string[] args, out string fault)
        {
            var wish = new Wish([], [], "", LogChoice.None);
            fault = "";
            for (var i = 0; i < args.Length && fault.Length == 0; i++)
            {
                var value = i + 1 < args.Length ? args[i + 1] : null;
                if (args[i] is not ['-', '-', ..]) wish = wish with { Files = [.. wish.Files, args[i]] };
                else if (value is null) fault = $"{args[i]} needs a value, or there is no such option.";
                else if (wish.With(args[i], value, out fault) is { } next) (wish, i) = (next, i + 1);
            }
            if (fault.Length == 0 && wish.Files.Count == 0 && !wish.Log.Asked) fault = "What was kept? Name dossiers, checkpoints, heads or refused requests.";
            else if (fault.Length == 0 && wish.Out.Length == 0) fault = "Where to? Give --out FILE.";
            return fault.Length == 0 ? wish : null;
        }

        Wish? With(string option, string value, out string fault)
        {
            fault = "";
            switch (option)
            {
                case "--out":
                    return this with { Out = value };
                case "--key":
                    return Arguments.Key(value, out fault) is { } key ? this with { Keys = [.. Keys, key] } : null;
                case "--online" or "--tiles" or "--patience":
                    return Log.With(option, value, out fault) is { } log ? this with { Log = log } : null;
                default:
                    fault = $"There is no option {option}.";
                    return null;
            }
        }
    }
}
