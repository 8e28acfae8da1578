using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>What an entry of an event type that is not known here still tells.</summary>
static class UnknownType
{
    /// <summary>Whatever has the form of a reference in its body.</summary>
    internal static IEnumerable<Reference> ReferencesIn(Json json) => json switch
    {
        Json.Arr array => array.Items.SelectMany(ReferencesIn),
        Json.Obj obj => obj.Members.SelectMany(m => ReferencesIn(m.Value)).Concat(ReferenceKind.TryRead(obj) is { } reference ? [reference] : []),
        _ => [],
    };
}
