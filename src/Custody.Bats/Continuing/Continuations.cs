using System.Collections.Immutable;

namespace Custody.Bats;

/// <summary>A link to another ledger's history of this bat.</summary>
/// <param name="Other">The entry there; its ledger is always named.</param>
/// <param name="Onward">True when the history goes on there, false when it came from there.</param>
public sealed record Continuation(Reference Other, bool Onward);

/// <summary>Where this history goes on from, or goes on in, another house's ledger.</summary>
public sealed record Continuations
{
    public ImmutableSortedDictionary<long, Continuation> ByEntry { get; init; } = ImmutableSortedDictionary<long, Continuation>.Empty;
}

/// <summary>Whether the history goes on in another ledger now. Only one ledger may say who has the bat.</summary>
public static class Elsewhere
{
    /// <summary>Number of the <c>ContinuedIn</c> by which the history goes on elsewhere now; null while it goes on here.</summary>
    public static long? Since(Bat bat) =>
        bat.Continuations.ByEntry.LastOrDefault(c => !bat.Corrections.IsVoid(c.Key)) is { Value.Onward: true } last ? last.Key : null;

    /// <summary>The refusal for acts that move title or custody while the history goes on in another ledger. What this house still
    /// owes (payments, labels, withdrawn opinions, lifted holds) stays possible.</summary>
    public static IEnumerable<Refusal> RefuseElsewhere(this Bat bat) => Since(bat) is { } n
        ? [new("continued-elsewhere", $"The history goes on in another ledger (entry {n}).",
            "Record it there, or record that the history continues from there.")]
        : [];
}
