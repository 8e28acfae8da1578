using System.CommandLine;

namespace Custody.Drills;

/// <summary>The command <c>nodes</c>.</summary>
static class NodesCommand
{
    public static Command Make()
    {
        Option<int> nodes = new("--nodes") { Description = "Servers over one database and one data folder.", DefaultValueFactory = _ => 2 };
        Option<int> kills = new("--kills") { Description = "Nodes to strike, one at a time.", DefaultValueFactory = _ => 6 };
        Option<DirectoryInfo?> data = new("--data") { Description = "Data folder of the drill, new or empty; a temporary one, removed afterwards, when left out." };
        Option<FileInfo> server = new("--server") { Description = "The built server, Custody.Server.dll.", Required = true };
        Option<FileInfo?> old = new("--old") { Description = "An older built server: every second node starts as that one, and all are replaced by --server one after the other while clients record." };
        Option<int> writers = new("--writers") { Description = "Clients that record at once.", DefaultValueFactory = _ => 4 };
        Option<int> seed = new("--seed") { Description = "Chooses what is struck and when.", DefaultValueFactory = _ => Environment.TickCount };
        Option<int> minutes = new("--minutes") { Description = "After so long the drill gives up, and says so.", DefaultValueFactory = _ => 30 };
        Option<int> within = new("--within") { Description = "Seconds within which the others must go on after a kill.", DefaultValueFactory = _ => 10 };
        var command = new Command("nodes", "Records over HTTP through several nodes, kills and freezes them in turn, measures how soon the others go on, and compares every acknowledged act with the ledger.")
        {
            nodes, kills, data, server, old, writers, seed, minutes, within,
        };
        command.SetAction((parsed, ct) => NodesDrill.Run(new(
            parsed.GetValue(nodes), parsed.GetValue(kills), parsed.GetValue(data)?.FullName, parsed.GetValue(server)!.FullName, parsed.GetValue(old)?.FullName,
            parsed.GetValue(writers), parsed.GetValue(seed), TimeSpan.FromMinutes(parsed.GetValue(minutes)), TimeSpan.FromSeconds(parsed.GetValue(within))), ct));
        return command;
    }
}

/// <summary>What to do.</summary>
/// <param name="Server">Path of Custody.Server.dll.</param>
/// <param name="Old">Path of an older one, to be replaced node by node; null for none.</param>
/// <param name="Longest">After this the drill gives up.</param>
/// <param name="Within">So soon the others must have gone on after a kill.</param>
sealed record NodesPlan(int Nodes, int Kills, string? Data, string Server, string? Old, int Writers, int Seed, TimeSpan Longest, TimeSpan Within);
