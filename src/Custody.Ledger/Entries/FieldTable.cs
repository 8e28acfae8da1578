using System.Text;
using Custody.Bats;

namespace Custody.Ledger;

/// <summary>The published table: for each event type, which fields are open and which withheld. Read off the shapes the writer uses, so it
/// cannot differ from what is written.</summary>
public static class FieldTable
{
    /// <summary>One field of one event type.</summary>
    /// <param name="Path">Member name; inner ones after a slash, <c>*</c> for any key.</param>
    /// <param name="Withheld">Kept back behind a salted digest; otherwise open to every reader.</param>
    /// <param name="Required">Whether an open member is always there.</param>
    /// <param name="Words">What its values are.</param>
    public sealed record Row(string Type, string Path, bool Withheld, bool Required, string Words);

    /// <summary>Every field of every event type, types and members in ordinal order. <c>parties</c>, which all have, is listed once under "*".</summary>
    public static IReadOnlyList<Row> Rows { get; } =
    [
        .. Of("*", typeof(Introduced), "parties/*/"),
        .. Shapes.Names.SelectMany(name => Of(name, Shapes.Find(name)!, "").Where(r => !r.Path.StartsWith("parties", StringComparison.Ordinal))),
    ];

    /// <summary>The table as text: a line for each type, below it a line for each field.</summary>
    public static string Text { get; } = Write();

    static IEnumerable<Row> Of(string type, Type part, string prefix) => Of(type, Shape.Of(part), prefix);

    static IEnumerable<Row> Of(string type, Shape shape, string prefix)
    {
        foreach (var field in shape.Open)
        {
            yield return new(type, prefix + field.Name, false, !field.MayBeNull && field.Kind.WhenLeftOut() is null, field.Words);
            if (field.Kind.Inner is { } inner)
                foreach (var row in Of(type, inner, prefix + field.Name + (field.Kind is PartKind ? "/" : "/*/"))) yield return row;
        }
        foreach (var field in shape.Withheld) yield return new(type, prefix + field.Name, true, false, field.Words);
    }

    static string Write()
    {
        StringBuilder text = new();
        foreach (var type in Rows.GroupBy(r => r.Type))
        {
            text.Append(type.Key).Append('\n');
            foreach (var row in type)
                text.Append(row.Withheld ? "  withheld  " : row.Required ? "  open      " : "  open?     ").Append(row.Path).Append(": ").Append(row.Words).Append('\n');
        }
        return text.ToString();
    }
}
