using System.CommandLine;
using Custody.Drills;

Option<int> kills = new("--kills") { Description = "Faults to strike with.", DefaultValueFactory = _ => 20 };
Option<DirectoryInfo?> data = new("--data") { Description = "Data folder of the drill, new or empty; a temporary one, removed afterwards, when left out." };
Option<FileInfo> server = new("--server") { Description = "The built server, Custody.Server.dll.", Required = true };
Option<int> writers = new("--writers") { Description = "Clients that record at once.", DefaultValueFactory = _ => 8 };
Option<int> seed = new("--seed") { Description = "Chooses what is struck and when; another number, another drill.", DefaultValueFactory = _ => Environment.TickCount };
Option<int> minutes = new("--minutes") { Description = "After so long the drill gives up, and says so.", DefaultValueFactory = _ => 60 };
Option<string> faults = new("--faults") { Description = "Which, separated by commas; the more often one is named the more often it strikes.", DefaultValueFactory = _ => string.Join(',', Fault.Usual) };
faults.Validators.Add(given =>
{
    if (given.GetValueOrDefault<string>()?.Split(',').FirstOrDefault(f => !Fault.All.ContainsKey(f)) is { } unknown)
        given.AddError($"--faults knows no {unknown}: {string.Join(", ", Fault.All.Keys)}.");
});
var root = new RootCommand("Records over HTTP with several clients, kills server and PostgreSQL at random moments, and compares every acknowledged act with the ledger afterwards.")
{
    kills, data, server, writers, seed, minutes, faults,
};
root.Add(NodesCommand.Make());
root.SetAction((parsed, ct) => Drill.Run(new(
    parsed.GetValue(kills), parsed.GetValue(data)?.FullName, parsed.GetValue(server)!.FullName, parsed.GetValue(writers), parsed.GetValue(seed),
    TimeSpan.FromMinutes(parsed.GetValue(minutes)), parsed.GetValue(faults)!.Split(',')), ct));
return await root.Parse(args).InvokeAsync();
