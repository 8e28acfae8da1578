using System.Security.Cryptography.X509Certificates;
using Custody.Ledger;
using Custody.Transparency;

namespace Custody.Verifier;

/// <summary>The command <c>custody-verify</c>: checks one dossier, from its file alone unless the reader asks for the public log. No database.</summary>
public static class CommandLine
{
    /// <summary>Exit codes: nothing failed; something failed; no dossier, or the command was not understood; nothing failed, but the public log that
    /// was to be asked could not be read.</summary>
    public const int NothingFailed = 0, SomethingFailed = 1, NoDossier = 2, NoAnswer = 3;

    const string Usage = $"""
        custody-verify DOSSIER [--key VKEY]... [--policy FILE] [--time-root FILE]... [--label TEXT] [--online URL] [--tiles DIR] [--json]

          DOSSIER   a file ending in .dossier.zip
          --key     a ledger's key, got elsewhere than the dossier: name+id+base64; once for each ledger
          --policy  a policy file (c2sp.org/tlog-policy): known ledgers, known cosigners, and whose cosignatures make a checkpoint count
          --time-root  root certificate of an authority for time stamps (RFC 3161), PEM or DER, got elsewhere; once for each
          --label   what stands on the bat's label, to see whether it was issued here and is in force
          --json    the result as JSON
        {LogChoice.Usage}

        Exit code 0: nothing failed; 1: something failed; 2: not a dossier, or not understood; 3: the log did not answer.

        {MisconductCommand.Usage}
        """;

    /// <summary>Runs the command.</summary>
    /// <returns>The exit code.</returns>
    public static int Run(IReadOnlyList<string> args, TextWriter output, TextWriter errors, TimeProvider clock)
    {
        if (args is ["--help"] or ["-h"])
        {
            output.WriteLine(Usage);
            return NothingFailed;
        }
        if (args is [MisconductCommand.Name, ..]) return MisconductCommand.Run([.. args.Skip(1)], output, errors);
        if (Arguments.Read(args, out var fault) is not { } given)
        {
            errors.WriteLine(TerminalText.Safe(fault));
            errors.WriteLine(Usage);
            return NoDossier;
        }
        try
        {
            using var file = new FileStream(given.Dossier, FileMode.Open, FileAccess.Read, FileShare.Read);
            return Check(file, given, output, errors, clock.GetUtcNow());
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or NotSupportedException)
        {
            errors.WriteLine(TerminalText.Safe($"{given.Dossier} cannot be read: {failure.Message}"));
            return NoDossier;
        }
    }

    static int Check(FileStream file, Arguments given, TextWriter output, TextWriter errors, DateTimeOffset now)
    {
        if (DossierReader.WhyNotOne(file) is { } why)
        {
            if (given.AsJson) ReportJson.WriteNoDossier(output, Path.GetFileName(given.Dossier), why);
            else errors.WriteLine(TerminalText.Safe($"{given.Dossier} is not a dossier. {why}"));
            return NoDossier;
        }
        var expected = new Expected(given.Keys, given.Label, now) { Policy = given.Policy, TimeRoots = given.TimeRoots };
        var report = given.Log.Use(log => Checker.Run(
            DossierReader.Read(file), log is null ? expected : expected with { Online = new(log, given.Log.LaterOnly) }));
        if (given.AsJson) ReportJson.Write(output, Path.GetFileName(given.Dossier), report);
        else ReportText.Write(output, Path.GetFileName(given.Dossier), report);
        return report.HasFailed ? SomethingFailed : report.Online is { Answered: false } ? NoAnswer : NothingFailed;
    }
}

/// <summary>What was asked for.</summary>
sealed record Arguments(string Dossier, IReadOnlyList<VerifierKey> Keys, string? Label, bool AsJson)
{
    internal CosignPolicy? Policy { get; private init; }

    internal IReadOnlyList<X509Certificate2> TimeRoots { get; private init; } = [];

    /// <summary>The public log to ask.</summary>
    internal LogChoice Log { get; private init; } = LogChoice.None;

    /// <summary>Reads the arguments; null with a sentence when they are not understood.</summary>
    internal static Arguments? Read(IReadOnlyList<string> args, out string fault)
    {
        var given = new Arguments("", [], null, false);
        for (var i = 0; i < args.Count; i++)
        {
            var value = i + 1 < args.Count ? args[i + 1] : null;
            switch (args[i])
            {
                case "--json":
                    given = given with { AsJson = true };
                    continue;
                case "--later":
                    given = given with { Log = given.Log with { LaterOnly = true } };
                    continue;
                case "--key" or "--label" or "--policy" or "--time-root" or "--online" or "--tiles" or "--patience" when value is null:
                    fault = $"{args[i]} needs a value.";
                    return null;
                case "--key":
                    if (Key(value!, out fault) is not { } key) return null;
                    given = given with { Keys = [.. given.Keys, key] };
                    i++;
                    continue;
                case "--label":
                    given = given with { Label = value };
                    i++;
                    continue;
                case "--policy" when given.Policy is not null:
                    fault = "Give one policy.";
                    return null;
                case "--policy":
                    if (ReaderFiles.Policy(value!, out fault) is not { } policy) return null;
                    given = given with { Policy = policy };
                    i++;
                    continue;
                case "--time-root":
                    if (ReaderFiles.Roots(value!, out fault) is not { } roots) return null;
                    given = given with { TimeRoots = [.. given.TimeRoots, .. roots] };
                    i++;
                    continue;
                case "--online" or "--tiles" or "--patience":
                    if (given.Log.With(args[i], value!, out fault) is not { } log) return null;
                    given = given with { Log = log };
                    i++;
                    continue;
                case ['-', '-', ..]:
                    fault = $"There is no option {args[i]}.";
                    return null;
                default:
                    if (given.Dossier.Length > 0)
                    {
                        fault = "Give one dossier at a time.";
                        return null;
                    }
                    given = given with { Dossier = args[i] };
                    continue;
            }
        }
        fault = given.Dossier.Length == 0 ? "Which dossier?" : given.Log is { LaterOnly: true, Asked: false } ? "--later needs a log: --online or --tiles." : "";
        return fault.Length == 0 ? given : null;
    }

    internal static VerifierKey? Key(string text, out string fault)
    {
        fault = "";
        try
        {
            return VerifierKey.Parse(text);
        }
        catch (Malformed malformed)
        {
            fault = $"The key is not one: {malformed.Sentence}";
            return null;
        }
    }
}
