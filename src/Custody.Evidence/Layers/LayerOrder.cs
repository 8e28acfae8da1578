using System.Diagnostics.CodeAnalysis;

namespace Custody.Evidence;

/// <summary>How sure an observation of layers is. Tar creeps, ink bleeds: a low one may be an illusion.</summary>
public enum LayerConfidence
{
    /// <summary>Could be otherwise.</summary>
    Low,

    /// <summary>Probably so.</summary>
    Moderate,

    /// <summary>No other reading was found.</summary>
    High,
}

/// <summary>"This lies over that": the upper one is the later.</summary>
/// <param name="Over">Name of the upper layer.</param>
/// <param name="Under">Name of the lower one.</param>
/// <param name="Confidence">How sure.</param>
/// <param name="SeenBy">Microscope, eye, raking light.</param>
/// <param name="Overlap">The overlap it rests on, in words; null when not stated.</param>
public sealed record LaidOver(string Over, string Under, LayerConfidence Confidence, string SeenBy, string? Overlap = null);

/// <summary>One layer came before another, directly seen or through others.</summary>
/// <param name="Before">The earlier layer.</param>
/// <param name="After">The later one.</param>
/// <param name="Confidence">That of the weakest observation on the strongest way from one to the other.</param>
/// <param name="Seen">Seen directly; otherwise it follows.</param>
public sealed record OrderedPair(string Before, string After, LayerConfidence Confidence, bool Seen);

/// <summary>What the layers say about order in time.</summary>
/// <param name="Method">Name and version of the method.</param>
/// <param name="Layers">Every layer, in one of the permitted orders.</param>
/// <param name="Observations">What it rests on.</param>
/// <param name="Ordered">Every pair of layers whose order is fixed.</param>
/// <param name="Open">Pairs that may stand either way.</param>
/// <param name="Count">How many orders are permitted, exactly; null when there are too many to count.</param>
/// <param name="Orders">The first of them, from earliest to latest layer; at most <see cref="LayerOrders.MostListed"/>.</param>
/// <param name="Level">For drawing: how many layers at least lie under each, by its place in <paramref name="Layers"/>.</param>
public sealed record LayerOrder(
    string Method, IReadOnlyList<string> Layers, IReadOnlyList<LaidOver> Observations, IReadOnlyList<OrderedPair> Ordered,
    IReadOnlyList<OrderedPair> Open, string? Count, IReadOnlyList<IReadOnlyList<string>> Orders, IReadOnlyList<int> Level);

/// <summary>
/// Layers as a partial order in time. Orders are counted as linear extensions of the order, by dynamic programming over its down-sets (as in
/// Brightwell and Winkler, Counting linear extensions, 1991, who show why no quicker way is to be had; from memory).
/// </summary>
public static class LayerOrders
{
    /// <summary>Name and version of the method, to stand beside each result.</summary>
    public const string Method = "layers/1";

    /// <summary>Most layers taken: more than any bat shows.</summary>
    public const int MostLayers = 60;

    /// <summary>Most orders listed.</summary>
    public const int MostListed = 24;

    /// <summary>
    /// Orders the layers. Refuses <c>layer-of-nothing</c> (an observation of a layer not listed, or over itself), <c>layer-twice</c>,
    /// <c>layers-too-many</c> and <c>layers-cycle</c>, whose sentence names the circle.
    /// </summary>
    public static bool TryFind(IReadOnlyList<string> layers, IReadOnlyList<LaidOver> observations, [NotNullWhen(true)] out LayerOrder? order,
        [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        order = null;
        refusal = Refusal(layers, observations);
        if (refusal is not null)
            return false;
        var graph = new LayerGraph(layers, observations);
        if (graph.Cycle() is { } cycle)
        {
            refusal = new("layers-cycle", $"Layers lie over one another in a circle: {string.Join(" over ", cycle)}.",
                "Look again at the overlap seen with the least confidence, and revise it.");
            return false;
        }
        order = Of(graph, observations);
        return true;
    }

    static EvidenceRefusal? Refusal(IReadOnlyList<string> layers, IReadOnlyList<LaidOver> observations) =>
        layers.Count > MostLayers ? new("layers-too-many", $"There are more than {MostLayers} layers.", "Leave out those that nothing is said of.")
        : layers.Distinct(StringComparer.Ordinal).Count() != layers.Count ? new("layer-twice", "Two layers have one name.", "Name each layer once.")
        : observations.Any(o => string.Equals(o.Over, o.Under, StringComparison.Ordinal) || !layers.Contains(o.Over) || !layers.Contains(o.Under))
            ? new("layer-of-nothing", "An observation names a layer that is not listed, or lies over itself.", "Name two of the layers.") : null;

    static LayerOrder Of(LayerGraph graph, IReadOnlyList<LaidOver> observations)
    {
        var names = graph.Topological;
        List<OrderedPair> ordered = [], open = [];
        for (var i = 0; i < names.Count; i++)
        {
            for (var j = i + 1; j < names.Count; j++)
            {
                if (graph.Strength(names[i], names[j]) is { } strength)
                    ordered.Add(new OrderedPair(names[i], names[j], strength, observations.Any(o => o.Under == names[i] && o.Over == names[j])));
                else
                    open.Add(new OrderedPair(names[i], names[j], LayerConfidence.Low, false));
            }
        }
        return new LayerOrder(Method, names, observations, ordered, open, LinearExtensions.Count(graph)?.ToString(System.Globalization.CultureInfo.InvariantCulture),
            [.. LinearExtensions.All(graph).Take(MostListed)], [.. names.Select(graph.Level)]);
    }
}
