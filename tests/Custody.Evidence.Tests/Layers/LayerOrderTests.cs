using FsCheck;
using FsCheck.Fluent;

namespace Custody.Evidence.Tests.Layers;

public class LayerOrderTests
{
    static LaidOver Over(string over, string under, LayerConfidence confidence = LayerConfidence.High) => new(over, under, confidence, "microscope");

    static LayerOrder Find(string layers, params LaidOver[] seen) =>
        LayerOrders.TryFind(layers.Split(' '), seen, out var order, out var refusal) ? order : throw new InvalidOperationException(refusal.Code);

    static EvidenceRefusal? Refused(string layers, params LaidOver[] seen) => LayerOrders.TryFind(layers.Split(' '), seen, out _, out var refusal) ? null : refusal;

    [Fact]
    public void Without_observations_every_order_is_permitted()
    {
        var order = Find("a b c");
        Assert.Equal("6", order.Count);
        Assert.Equal(6, order.Orders.Count);
        Assert.Equal(3, order.Open.Count);
        Assert.Empty(order.Ordered);
    }

    [Fact]
    public void What_lies_over_came_after_also_through_others()
    {
        var order = Find("stamp finish tape tar", Over("stamp", "finish"), Over("tape", "stamp", LayerConfidence.Moderate), Over("tar", "tape", LayerConfidence.Low));
        Assert.Equal(["finish", "stamp", "tape", "tar"], order.Layers);
        Assert.Equal("1", order.Count);
        Assert.Equal([0, 1, 2, 3], order.Level);
        Assert.Equal(new OrderedPair("finish", "tar", LayerConfidence.Low, false), order.Ordered.Single(p => p is { Before: "finish", After: "tar" }));
        Assert.Equal(new OrderedPair("finish", "stamp", LayerConfidence.High, true), order.Ordered.Single(p => p is { Before: "finish", After: "stamp" }));
    }

    [Fact]
    public void A_stronger_way_round_a_weak_observation_counts()
    {
        var order = Find("a b c", Over("c", "a", LayerConfidence.Low), Over("b", "a"), Over("c", "b", LayerConfidence.Moderate));
        Assert.Equal(LayerConfidence.Moderate, order.Ordered.Single(p => p is { Before: "a", After: "c" }).Confidence);
    }

    [Fact]
    public void A_circle_is_refused_and_named()
    {
        var refusal = Refused("tape tar ink chip", Over("tape", "tar"), Over("tar", "ink"), Over("ink", "tape"), Over("chip", "tar"))!;
        Assert.Equal("layers-cycle", refusal.Code);
        Assert.Contains("tape over tar over ink over tape", refusal.Sentence, StringComparison.Ordinal);
        // The shortest circle is the one named, and nothing outside it.
        Assert.Contains("circle: tape over tar over tape.", Refused("ink tape tar", Over("tape", "tar"), Over("tar", "tape"), Over("tar", "ink"), Over("ink", "tape"))!.Sentence, StringComparison.Ordinal);
    }

    [Fact]
    public void Bad_input_is_refused_by_name()
    {
        Assert.Equal("layer-of-nothing", Refused("a b", Over("a", "c"))!.Code);
        Assert.Equal("layer-of-nothing", Refused("a b", Over("a", "a"))!.Code);
        Assert.Equal("layer-twice", Refused("a a")!.Code);
        Assert.Equal("layers-too-many", Refused(string.Join(' ', Enumerable.Range(0, LayerOrders.MostLayers + 1)))!.Code);
    }

    [Fact]
    public void Many_orders_are_counted_exactly_and_some_are_listed()
    {
        // Six chains of two: 12! / 2^6 orders.
        var chains = Find("a b c d e f g h i j k l", Over("b", "a"), Over("d", "c"), Over("f", "e"), Over("h", "g"), Over("j", "i"), Over("l", "k"));
        Assert.Equal("7484400", chains.Count);
        Assert.Equal(LayerOrders.MostListed, chains.Orders.Count);
    }

    [Fact]
    public void Too_many_to_count_is_said()
    {
        // One layer under forty others: 2^40 down-sets in one part.
        var names = string.Join(' ', Enumerable.Range(0, 41).Select(i => $"l{i}"));
        Assert.Null(Find(names, [.. Enumerable.Range(1, 40).Select(i => Over($"l{i}", "l0"))]).Count);
    }

    // All permutations, tried one by one, as the reference.
    [Fact]
    public void The_orders_are_those_of_trying_every_permutation() =>
        Check.One(Config.QuickThrowOnFailure.WithMaxTest(150), Prop.ForAll(Gen.Two(Gen.Choose(0, 4)).Where(p => p.Item1 < p.Item2).ListOf().Where(l => l.Count < 8).ToArbitrary(), pairs =>
        {
            var order = Find("a b c d e", [.. pairs.Select(p => Over(Letter(p.Item2), Letter(p.Item1)))]);
            var allowed = Permutations([.. "abcde".Select(c => c.ToString())]).Where(p => pairs.All(q => p.IndexOf(Letter(q.Item1)) < p.IndexOf(Letter(q.Item2)))).ToList();
            return order.Count == $"{allowed.Count}" && order.Orders.All(o => allowed.Any(a => a.SequenceEqual(o))) && order.Orders.Count == Math.Min(allowed.Count, LayerOrders.MostListed)
                && order.Ordered.All(p => allowed.TrueForAll(a => a.IndexOf(p.Before) < a.IndexOf(p.After)))
                && order.Open.All(p => allowed.Exists(a => a.IndexOf(p.Before) < a.IndexOf(p.After)) && allowed.Exists(a => a.IndexOf(p.Before) > a.IndexOf(p.After)));
        }));

    static string Letter(int i) => ((char)('a' + i)).ToString();

    static IEnumerable<List<string>> Permutations(List<string> rest) =>
        rest.Count == 0 ? [[]] : rest.SelectMany(first => Permutations([.. rest.Where(r => r != first)]).Select(p => p.Prepend(first).ToList()));
}
