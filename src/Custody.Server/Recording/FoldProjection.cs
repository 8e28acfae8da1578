using Custody.Bats;
using JasperFx.Events;
using Marten.Events.Aggregation;

namespace Custody.Server.Recording;

/// <summary>Keeps the fold of each stream beside it, in the transaction that appends: decisions and the bat sheet read it.</summary>
public sealed class FoldProjection<TState, TStored> : SingleStreamProjection<TState, string>
    where TState : StreamState<TState>, new() where TStored : StoredEntry
{
    public FoldProjection()
    {
        Name = typeof(TState).Name;
        IncludeType<TStored>();
    }

    public override TState? Evolve(TState? snapshot, string id, IEvent e) =>
        e.Data is TStored stored ? (snapshot ?? new TState()).Fold(stored.Entry) : snapshot;
}
