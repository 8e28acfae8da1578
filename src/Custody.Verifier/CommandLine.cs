using System.Security.Cryptography.X509Certificates;
using Custody.Ledger;
using Custody.Transparency;

namespace Custody.Verifier;

/// <summary>The command <c>custody-verify</c>: checks one dossier, from its file alone. No network, no database.</summary>
public static class CommandLine
{
    /// <summary>Exit codes: nothing failed; something failed; no dossier, or the command was not understood.</summary>
    public const int NothingFailed = 0, SomethingFailed = 1, NoDossier = 2;

    const string Usage = """
        custody-verify DOSSIER [--key VKEY]... [--policy FILE] [--time-root FILE]... [--label TEXT] [--json]

          DOSSIER   a file ending in .dossier.zip
          --key     a ledger's key, got elsewhere than the dossier: name+id+base64; once for each ledger
          --policy  a policy file (c2sp.org/tlog-policy): known ledgers, known cosigners, and whose cosignatures make a checkpoint count
          --time-root  root certificate of an authority for time stamps (RFC 3161), PEM or DER, got elsewhere; once for each
          --label   what stands on the bat's label, to see whether it was issued here and is in force
          --json    the result as JSON

        Exit code 0: nothing failed; 1: something failed; 2: not a dossier, or not understood.
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
        var report = Checker.Run(DossierReader.Read(file), new Expected(given.Keys, given.Label, now) { Policy = given.Policy, TimeRoots = given.TimeRoots });
        if (given.AsJson) ReportJson.Write(output, Path.GetFileName(given.Dossier), report);
        else ReportText.Write(output, Path.GetFileName(given.Dossier), report);
        return report.HasFailed ? SomethingFailed : NothingFailed;
    }
}

/// <summary>What was asked for.</summary>
sealed record Arguments(string Dossier, IReadOnlyList<VerifierKey> Keys, string? Label, bool AsJson)
{
    internal CosignPolicy? Policy { get; private init; }

    internal IReadOnlyList<X509Certificate2> TimeRoots { get; private init; } = [];

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
                case "--key" or "--label" or "--policy" or "--time-root" when value is null:
                    fault = $"{args[i]} needs a value.";
                    return null;
                case "--key" when Key(value!, out fault) is { } key:
                    given = given with { Keys = [.. given.Keys, key] };
                    i++;
                    continue;
                case "--key":
                    fault = Key(value!, out var why) is null ? why : "";
                    return null;
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
        fault = given.Dossier.Length == 0 ? "Which dossier?" : "";
        return given.Dossier.Length == 0 ? null : given;
    }

    static VerifierKey? Key(string text, out string fault)
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
