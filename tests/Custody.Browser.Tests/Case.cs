using System.Text.Json.Nodes;
using Custody.Ledger;
using Custody.Ledger.Tests;
using Custody.Transparency;
using Custody.Verifier;

namespace Custody.Browser.Tests;

/// <summary>A file that somebody hands over, with what its reader brings along.</summary>
sealed record Case(string Name, byte[] Bytes, string? Key = null, string? Label = null)
{
    /// <summary>The reader's policy on cosigners; null when none.</summary>
    public string? Policy { get; init; }

    /// <summary>What the command <c>custody-verify --json</c> answers, run at the dossiers' own time.</summary>
    public JsonNode ByCommand()
    {
        var path = Path.Combine(Path.GetTempPath(), Path.GetRandomFileName());
        File.WriteAllBytes(path, Bytes);
        try
        {
            using StringWriter output = new(), errors = new();
            List<string> arguments = [path, "--json"];
            if (Key is not null) arguments.AddRange(["--key", Key]);
            if (Label is not null) arguments.AddRange(["--label", Label]);
            if (Policy is not null)
            {
                File.WriteAllText(path + ".policy", Policy);
                arguments.AddRange(["--policy", path + ".policy"]);
            }
            CommandLine.Run(arguments, output, errors, new At(TestDossier.Now));
            return JsonNode.Parse(output.ToString())!;
        }
        finally
        {
            File.Delete(path);
            File.Delete(path + ".policy");
        }
    }

    /// <summary>The histories as the same checks tell them.</summary>
    public IReadOnlyList<ToldHistory> Told() => DossierReader.WhyNotOne(new MemoryStream(Bytes)) is not null ? []
        : Checker.Run(DossierReader.Read(new MemoryStream(Bytes)), new Expected(Key is null ? [] : [VerifierKey.Parse(Key)], Label, TestDossier.Now)).Histories;

    sealed class At(DateTimeOffset now) : TimeProvider
    {
        public override DateTimeOffset GetUtcNow() => now;
    }
}
