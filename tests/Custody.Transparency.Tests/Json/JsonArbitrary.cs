using FsCheck;
using FsCheck.Fluent;

namespace Custody.Transparency.Tests;

/// <summary>Random JSON values whose texts run over every kind of character JSON treats specially, and doubles over all finite bit patterns.</summary>
static class JsonArbitrary
{
    static readonly Gen<string> Text = Gen.Elements(
            "a", "Z", "\"", "\\", "/", "\n", "\u0000", "\u001f", "\u007f", "\u0080", "é", "€", "\uffff", "\ufb33", "😀", "\U0010ffff", "_sd", "")
        .ListOf().Select(string.Concat);

    internal static readonly Gen<double> Double = Gen.Choose(int.MinValue, int.MaxValue).Two()
        .Select(pair => BitConverter.Int64BitsToDouble(((long)pair.Item1 << 32) ^ (uint)pair.Item2))
        .Where(double.IsFinite);

    static readonly Gen<Json> Leaf = Gen.OneOf(
        Text.Select(text => (Json)text),
        Gen.Choose(int.MinValue, int.MaxValue).Select(i => (Json)(i * 4_194_303L)),
        Double.Select(d => (Json)new Json.Num(d)),
        Gen.Elements(new Json[] { true, false, Json.Null.Instance }));

    static Gen<Json> Tree(int depth) => depth == 0
        ? Leaf
        : Gen.Frequency(
            (2, Leaf),
            (1, Tree(depth - 1).ListOf().Select(items => (Json)new Json.Arr(items))),
            (1, Text.Zip(Tree(depth - 1)).ListOf().Select(pairs => (Json)new Json.Obj(
                pairs.DistinctBy(p => p.Item1).Select(p => new Json.Member(p.Item1, p.Item2))))));

    internal static Arbitrary<Json> Values { get; } = Arb.From(Tree(4));
}
