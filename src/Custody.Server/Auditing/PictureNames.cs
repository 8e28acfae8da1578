using System.Collections.Concurrent;
using Custody.Ledger;
using Custody.Transparency;

namespace Custody.Server.Auditing;

/// <summary>The released photographs that entries name, each with the first row that does. Which members name one is read from the table of fields.</summary>
sealed class PictureNames
{
    static readonly HashSet<string> Members =
        [.. FieldTable.Rows.Where(r => r.Words.Contains("photograph (SHA-256)", StringComparison.Ordinal)).Select(r => r.Path.Split('/')[^1])];

    readonly ConcurrentDictionary<Hash, EventRow> named = new();

    public IEnumerable<(Hash Hash, EventRow Row)> All => named.Select(n => (n.Key, n.Value));

    public void Note(Json.Obj obj, EventRow row)
    {
        foreach (var (name, value) in obj.Members)
        {
            if (value is Json.Obj inner) Note(inner, row);
            else if ((value is Json.Str || value is Json.Arr) && Members.Contains(name)) NoteThose(value, row);
        }
    }

    void NoteThose(Json value, EventRow row)
    {
        foreach (var item in value is Json.Arr list ? list.Items : [value])
            if (item is Json.Str text && Hash.TryParse(text.Value, out var hash)) named.TryAdd(hash, row with { Bytes = null });
    }
}
