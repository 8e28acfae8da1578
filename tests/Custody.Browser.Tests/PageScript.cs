using System.Diagnostics;
using System.Globalization;
using System.Text.Json.Nodes;
using Custody.Ledger;
using Custody.Ledger.Tests;
using Custody.Server.Tests.Labels;

namespace Custody.Browser.Tests;

/// <summary>The page's script without a page: its modules in a folder, run by node.</summary>
static class PageScript
{
    const string Node = "node";

    /// <summary>What the script answers to each case, in order; null where node is missing, which is an error in CI.</summary>
    public static IReadOnlyList<JsonNode>? Run(IReadOnlyList<Case> cases) => Run("run.mjs", folder => Write(folder, cases));

    /// <summary>What a function of one module answers to each argument, a text or bytes; null where node is missing.</summary>
    public static IReadOnlyList<JsonNode>? Call(string module, string name, IEnumerable<object> arguments) => Run("call.mjs", folder => File.WriteAllLines(
        Path.Combine(folder, "calls.jsonl"), arguments.Select(a => new JsonObject
        {
            ["module"] = module,
            ["name"] = name,
            ["argument"] = a is byte[] bytes ? new JsonObject { ["bytes"] = Convert.ToBase64String(bytes) } : JsonValue.Create((string)a),
        }.ToJsonString())));

    static List<JsonNode>? Run(string program, Action<string> write)
    {
        if (Tool.Find(Node, "nodejs") is not { } node) return null;
        var folder = Directory.CreateTempSubdirectory("custody-page-");
        try
        {
            foreach (var module in CheckerPage.Modules) File.WriteAllText(Path.Combine(folder.FullName, module.Name + ".js"), module.Text);
            File.WriteAllText(Path.Combine(folder.FullName, "package.json"), """{"type":"module"}""");
            write(folder.FullName);
            var start = new ProcessStartInfo(node, [Path.Combine(AppContext.BaseDirectory, program), folder.FullName]) { RedirectStandardOutput = true, RedirectStandardError = true };
            using var process = Process.Start(start)!;
            var errors = process.StandardError.ReadToEndAsync();
            var output = process.StandardOutput.ReadToEnd();
            process.WaitForExit();
            Assert.True(process.ExitCode == 0, errors.Result);
            return [.. output.Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => JsonNode.Parse(line)!)];
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    static void Write(string folder, IReadOnlyList<Case> cases)
    {
        using var list = File.CreateText(Path.Combine(folder, "cases.jsonl"));
        for (var i = 0; i < cases.Count; i++)
        {
            var file = i.ToString(CultureInfo.InvariantCulture) + ".zip";
            File.WriteAllBytes(Path.Combine(folder, file), cases[i].Bytes);
            list.WriteLine(new JsonObject
            {
                ["file"] = file,
                ["key"] = cases[i].Key,
                ["policy"] = cases[i].Policy,
                ["label"] = cases[i].Label,
                ["now"] = TestDossier.Now.ToUnixTimeMilliseconds(),
            }.ToJsonString());
        }
    }
}
