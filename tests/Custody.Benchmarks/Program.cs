using System.CommandLine;
using Custody.Benchmarks;

// Some parts run in a process of their own, which this program starts from itself: see OwnProcess.
if (args is [OwnProcess.Rebuild or OwnProcess.Audit or OwnProcess.Recompute]) return await OwnProcess.Run(args[0]);

Option<FileInfo?> json = new("--json") { Description = "File for the figures, as one flat JSON object." };
Option<int> events = new("--events") { Description = "Events in the history that is rebuilt; 500,000, or 40,000 when quick.", DefaultValueFactory = _ => 0 };
Option<bool> quick = new("--quick") { Description = "Short rounds and a short history: shows that everything runs, figures are rough." };
Option<bool> checker = new("--checker") { Description = "The native checker only; no database." };
Option<bool> audit = new("--audit") { Description = "The audit only, of a history of --events; 1,000,000 when left out." };
Option<bool> recompute = new("--recompute") { Description = "Opinions computed again only: in memory, and 10,000 through PostgreSQL as recompute --all does it." };
Option<bool> database = new("--database") { Description = "Only what needs the database." };
Option<bool> storage = new("--storage") { Description = "What an event takes on disk only." };
Option<bool> proofs = new("--proofs") { Description = "Proofs from the tiles of a large log only." };
Option<int> growth = new("--growth") { Description = "After all the rest: a history grown to so many events, 5000000 for the published figures; takes half an hour and 12 GB of disk.", DefaultValueFactory = _ => 0 };
var root = new RootCommand("Measures the recording path, the log and the rebuild on a private, durable PostgreSQL in a temporary folder.") { json, events, quick, checker, audit, recompute, database, growth, storage, proofs };
root.SetAction((parsed, ct) => parsed.GetValue(recompute)
    ? Benchmarks.RecomputeAlone(parsed.GetValue(json), ct)
    : parsed.GetValue(proofs)
    ? Benchmarks.ProofsAlone(Plan.Of(parsed.GetValue(quick), 0), parsed.GetValue(json), ct)
    : parsed.GetValue(storage)
    ? Benchmarks.StorageAlone(Plan.Of(parsed.GetValue(quick), 0), parsed.GetValue(json), ct)
    : parsed.GetValue(audit)
    ? Benchmarks.AuditAlone(parsed.GetValue(events) is > 0 and var many ? many : 1_000_000, parsed.GetValue(json), ct)
    : Benchmarks.Run(Plan.Of(parsed.GetValue(quick), parsed.GetValue(events)), parsed.GetValue(checker), parsed.GetValue(database), parsed.GetValue(growth), parsed.GetValue(json), ct));
return await root.Parse(args).InvokeAsync();
