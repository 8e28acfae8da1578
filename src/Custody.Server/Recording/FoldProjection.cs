using Custody.Bats;
using JasperFx.Events;
using Marten.Events.Aggregation;

namespace Custody.Server.Recording;

/// <summary>Keeps the fold of each stream beside it, in the transaction that appends: decisions and the bat sheet read it.</summary>
public sealed class FoldProjection<TState, TStored> : SingleStreamProjection<TState, string>
    where TState : StreamState<TState>, new() where TStored : StoredEntry
{
    // A rebuild meets the same few hundred bats over and over: writing each state once in a while, not once a page, halves its work.
    const int StatesHeldBackInRebuild = 2_000;

    public FoldProjection()
    {
        Name = typeof(TState).Name;
        IncludeType<TStored>();
        Options.BatchSize = 1_000;
        Options.RebuildFlushThreshold = StatesHeldBackInRebuild;
    }

    public override TState? Evolve(TState? snapshot, string id, IEvent e) =>
        e.Data is TStored stored ? stored.Line.FoldInto(snapshot, id) : snapshot;
}
