using Custody.Bats;
using Custody.Server.Photographs;
using Custody.Server.Recording;

namespace Custody.Server.Operating.Demo;

/// <summary>What the story has recorded so far: streams by their local names, entries by the keys of the lines that recorded them.</summary>
sealed class DemoMemory
{
    /// <summary>Local name of a ledger's own stream.</summary>
    public const string OwnStream = "ledger/own";

    readonly Dictionary<(string Ledger, string Name), StreamName> streams = [];
    readonly Dictionary<(string Ledger, string Key), IReadOnlyList<EntryAnswer>> entries = [];

    readonly Dictionary<(string Ledger, string Asked), PictureReceived> pictures = [];

    public PictureReceived? PictureOf(string ledger, string asked) => pictures.GetValueOrDefault((ledger, asked));

    public void Keep(string ledger, string asked, PictureReceived received) => pictures.TryAdd((ledger, asked), received);

    public StreamName? StreamOf(string ledger, string name) => streams.GetValueOrDefault((ledger, name));

    public void Begin(string ledger, string name, StreamName stream) => streams.Add((ledger, name), stream);

    /// <summary>Streams of a kind by local name, in the order in which they were begun.</summary>
    public IEnumerable<(string Ledger, string Name, StreamName Stream)> All(string kind) =>
        streams.Where(s => s.Value.Kind == kind).Select(s => (s.Key.Ledger, s.Key.Name, s.Value));

    public void Keep(DemoLine line, IReadOnlyList<EntryAnswer> recorded)
    {
        entries.Add((line.Ledger, line.Key), recorded);
        foreach (var step in line.Steps.Where(s => s.Stream != OwnStream && StreamOf(line.Ledger, s.Stream) is null))
            Begin(line.Ledger, step.Stream, StreamName.Parse(recorded.First(e => StreamName.Parse(e.Stream).Kind == step.Stream.Split('/')[0]).Stream));
    }

    /// <param name="said">The key of a line, or key and place where it recorded several entries: <c>key/2</c>.</param>
    public EntryAnswer? Find(string ledger, string said)
    {
        if (entries.TryGetValue((ledger, said), out var whole)) return whole[0];
        var slash = said.LastIndexOf('/');
        return slash > 0 && int.TryParse(said.AsSpan(slash + 1), out var place) && entries.TryGetValue((ledger, said[..slash]), out var several)
            && place >= 1 && place <= several.Count ? several[place - 1] : null;
    }
}
