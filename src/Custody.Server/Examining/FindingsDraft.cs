using Custody.Bats;

namespace Custody.Server.Examining;

/// <summary>What an examiner has written down of a bat and not locked yet.</summary>
/// <param name="Views">Answers to the views gone through so far, in the fixed order.</param>
/// <param name="Layers">Findings named by their place in the list, from 1.</param>
public sealed record FindingsDraft(IReadOnlyList<FindingStated> Findings, IReadOnlyList<LayerSeen> Layers, IReadOnlyList<ViewSeen> Views)
{
    public static readonly FindingsDraft Empty = new([], [], []);

    /// <summary>The view whose turn it is; null when all were gone through.</summary>
    public BatView? Turn => Views.Count < ViewSeen.Fixed.Count ? ViewSeen.Fixed[Views.Count] : null;

    /// <summary>Answers the view whose turn it is, or changes an answer given before; any other is passed over.</summary>
    public FindingsDraft Answer(BatView view, ViewAnswer answer) =>
        Views.Any(v => v.View == view) ? this with { Views = [.. Views.Select(v => v.View == view ? v with { Answer = answer } : v)] }
        : view == Turn ? this with { Views = [.. Views, new ViewSeen(view, answer)] }
        : this;

    /// <summary>Without the finding at a place, from 1; the others move up, and layers that name it go.</summary>
    public FindingsDraft Without(int number) => this with
    {
        Findings = [.. Findings.Where((_, i) => i != number - 1)],
        Layers = [.. Layers.Where(l => l.Over != number && l.Under != number).Select(l => l with { Over = Moved(l.Over, number), Under = Moved(l.Under, number) })],
    };

    static int Moved(int finding, int gone) => finding > gone ? finding - 1 : finding;
}
