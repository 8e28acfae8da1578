using System.Collections;
using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>The open values of a fact, wherever they stand in it.</summary>
static class OpenValues
{
    internal static IEnumerable<object> In(object part)
    {
        foreach (var field in Shape.Of(part.GetType()).Open)
            foreach (var value in Within(field.Value(part)))
                yield return value;
    }

    static IEnumerable<object> Within(object? value) => value switch
    {
        null => [],
        IKeyed keyed => keyed.Parts.SelectMany(p => In(p.Value)),
        IPart part => In(part),
        string text => [text],
        IEnumerable list => list.Cast<object>().SelectMany(Within),
        _ => [value],
    };

    /// <summary>Whatever has the form of a reference in the body of an entry whose event type is not known.</summary>
    internal static IEnumerable<Reference> ReferencesIn(Json json) => json switch
    {
        Json.Arr array => array.Items.SelectMany(ReferencesIn),
        Json.Obj obj => obj.Members.SelectMany(m => ReferencesIn(m.Value)).Concat(ReferenceKind.TryRead(obj) is { } reference ? [reference] : []),
        _ => [],
    };
}
