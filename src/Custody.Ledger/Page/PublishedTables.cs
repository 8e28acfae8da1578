using System.Runtime.CompilerServices;
using Custody.Bats;
using Custody.Evidence;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>What the checker page takes from the command's own tables, so that there is one source: the list of checks, the shapes of every event
/// type, units, currencies, and the sentences said wherever a history is shown.</summary>
static class PublishedTables
{
    /// <summary>The tables as one canonical JSON object.</summary>
    internal static byte[] Write()
    {
        var types = Shapes.Names.Select(name => (Name: name, Type: Shapes.Find(name)!)).ToList();
        return Jcs.Write(new ObjBuilder
        {
            { "beforePaying", Texts(Cautions.BeforePaying) },
            { "cautions", Texts(Cautions.Said) },
            { "checks", new Json.Arr([.. CheckList.All.Select(Check)]) },
            { "commandOnly", CheckList.CommandOnly },
            { "currencies", new Json.Obj(Currency.Known.Select(c => new Json.Member(c.Code, c.MinorDigits))) },
            { "shapes", new Json.Obj(AllShapes(types.Select(t => Shape.Of(t.Type))).Select(s => new Json.Member(s.Name, Of(s)))) },
            { "streams", Texts(StreamName.Kinds) },
            { "types", new Json.Obj(types.Select(t => new Json.Member(t.Name, Of(t.Type)))) },
            { "units", Texts(Unit.Codes.Split(", ")) },
        }.Build());
    }

    static Json.Obj Check(ListedCheck check) => new ObjBuilder
    {
        { "byCommand", check.ByCommand }, { "byLabelPage", check.ByLabelPage }, { "byPage", check.ByPage }, { "elsewhere", check.Elsewhere },
        { "name", check.Name }, { "number", check.Number },
    }.Build();

    // Whether it is a report is a property of the type, not of what one entry says: a fact without members answers it.
    static Json.Obj Of(Type type) => new ObjBuilder
    {
        { "isReport", ((Fact)RuntimeHelpers.GetUninitializedObject(type)).IsReport }, { "shape", Shape.Of(type).Name },
    }.Build();

    static HashSet<Shape> AllShapes(IEnumerable<Shape> facts)
    {
        HashSet<Shape> found = [];
        Stack<Shape> left = new(facts);
        while (left.TryPop(out var shape))
            if (found.Add(shape))
                foreach (var field in shape.Open.Concat(shape.Withheld))
                    if (field.Kind.Inner is { } inner) left.Push(inner);
        return found;
    }

    static Json.Obj Of(Shape shape) => new ObjBuilder
    {
        { "name", shape.Name }, { "open", new Json.Arr([.. shape.Open.Select(Of)]) }, { "withheld", new Json.Arr([.. shape.Withheld.Select(Of)]) },
    }.Build();

    static Json Of(Field field) => new ObjBuilder
    {
        { "kind", Of(field.Kind) }, { "name", field.Name }, { "place", field.Place },
        { "required", !field.IsWithheld && !field.MayBeNull && field.Kind.WhenLeftOut() is null },
    }.Build();

    static Json.Obj Of(FieldKind kind) => kind switch
    {
        WordKind => new ObjBuilder { { "is", "word" }, { "words", Texts(kind.Words.Split(" | ")) } }.Build(),
        ListKind list => new ObjBuilder { { "is", "list" }, { "of", Of(list.Items) } }.Build(),
        KeyedKind => new ObjBuilder { { "is", "keyed" }, { "shape", kind.Inner!.Name } }.Build(),
        PartKind => new ObjBuilder { { "is", "part" }, { "shape", kind.Inner!.Name } }.Build(),
        IntegerKind integer => Is(integer.IsCount ? "int" : "long"),
        TruthKind => Is("truth"),
        QuantityKind => Is("quantity"),
        MoneyKind => Is("money"),
        ReferenceKind => Is("reference"),
        TextKind<string> => Is("text"),
        TextKind<Alias> => Is("alias"),
        TextKind<Edtf> => Is("date"),
        TextKind<StreamName> => Is("stream"),
        TextKind<PictureHash> => Is("photograph"),
        _ => throw new InvalidOperationException($"The page knows no {kind.Words}."),
    };

    static Json.Obj Is(string kind) => new ObjBuilder { { "is", kind } }.Build();

    static Json.Arr Texts(IEnumerable<string> texts) => new([.. texts.Select(t => (Json)t)]);
}
