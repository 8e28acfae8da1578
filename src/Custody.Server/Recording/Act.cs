using Custody.Bats;
using Custody.Server.Private;
using Marten;

namespace Custody.Server.Recording;

/// <summary>What is under way in one act: its session, the streams it opened, the entries so far, the aliases it has given.</summary>
sealed class Act(IDocumentSession session, Action<Span<byte>> salts)
{
    readonly Dictionary<(StreamName, PartyId), Alias> given = [];

    public IDocumentSession Session { get; } = session;
    public Action<Span<byte>> Salts { get; } = salts;
    public Dictionary<StreamName, OpenStream> Open { get; } = [];
    public List<Entry> Entries { get; } = [];

    /// <summary>The parties that this act has not introduced on that stream itself.</summary>
    public IReadOnlyCollection<PartyId> NotYetGiven(StreamName stream, IReadOnlyCollection<PartyId> parties) =>
        [.. parties.Where(p => !given.ContainsKey((stream, p)))];

    public IReadOnlyDictionary<PartyId, KnownParty> Known(StreamName stream, IReadOnlyDictionary<PartyId, KnownParty?> looked)
    {
        var known = looked.ToDictionary(l => l.Key, l => l.Value!);
        foreach (var ((on, party), alias) in given) if (on == stream) known[party] = new KnownParty(alias, "");
        return known;
    }

    public void Give(StreamName stream, IReadOnlyDictionary<PartyId, Alias> fresh)
    {
        foreach (var (party, alias) in fresh) given.Add((stream, party), alias);
    }
}
