using System.CommandLine;
using Custody.Benchmarks;

// One part runs in a process of its own, which this program starts from itself: see Rebuilding.
if (args is [RebuildProcess.Word]) return await RebuildProcess.Run();

Option<FileInfo?> json = new("--json") { Description = "File for the figures, as one flat JSON object." };
Option<int> events = new("--events") { Description = "Events in the history that is rebuilt; 500,000, or 40,000 when quick.", DefaultValueFactory = _ => 0 };
Option<bool> quick = new("--quick") { Description = "Short rounds and a short history: shows that everything runs, figures are rough." };
Option<bool> checker = new("--checker") { Description = "The native checker only; no database." };
var root = new RootCommand("Measures the recording path, the log and the rebuild on a private, durable PostgreSQL in a temporary folder.") { json, events, quick, checker };
root.SetAction((parsed, ct) => Benchmarks.Run(Plan.Of(parsed.GetValue(quick), parsed.GetValue(events)), parsed.GetValue(checker), parsed.GetValue(json), ct));
return await root.Parse(args).InvokeAsync();
