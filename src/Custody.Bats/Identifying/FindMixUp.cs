using System.Collections.Immutable;

namespace Custody.Bats;

/// <summary>Say that this bat and another were taken for one another. Recorded on both: first on either one, citing the other's
/// registration; then on the other, citing the first one's <c>MixUpFound</c>.</summary>
/// <param name="Other">The other bat's registration, or its <c>MixUpFound</c> that names this bat.</param>
/// <param name="InDoubt">Entries of this record that may concern the other bat; none when only its whereabouts are in doubt.</param>
public sealed record FindMixUp(Reference Other, IReadOnlyList<long> InDoubt, string? Explanation) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new MixUpFound(Other, [.. InDoubt.Distinct().Order()], Explanation)];
}

/// <summary>Two bats were mixed up. Freezes labels and hand-overs (see <see cref="MixUps"/>); whatever rests on an entry in doubt
/// becomes open work.</summary>
public sealed record MixUpFound(Reference Other, IReadOnlyList<long> InDoubt, Withheld<string>? Explanation) : BatFact
{
    public override IEnumerable<Reference> Cites => [Other];
    public override IEnumerable<long> Fells => InDoubt;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        var other = cited.Find(Other)?.Fact;
        foreach (var refusal in other is MixUpFound ? [] : OtherRecord.Refuse<BatRegistered>(entry, Other, cited)) yield return refusal;
        if (other is MixUpFound found && (Other.Stream == entry.Envelope.Stream || found.Other.Stream != entry.Envelope.Stream))
            yield return new("another-record", "The mix-up cited does not concern this bat.",
                "Cite the other bat's entry that names this one.");
        foreach (var n in InDoubt.Where(n => n <= 1 || n > bat.N || bat.Corrections.IsVoid(n)))
            yield return new("cannot-be-in-doubt", $"Entry {n} cannot be in doubt: it does not exist, is void, or is the registration.",
                "Name entries that stand; void the registration if it concerns no bat of its own.");
        if (bat.Identity.MixUps.Any(m => m.Value.Other.Stream == Other.Stream && MixUps.Open(bat).Contains(m.Key)))
            yield return new("mix-up-known", "A mix-up with that bat is open already.", "Settle it first.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Identity = bat.Identity with
        {
            MixUps = bat.Identity.MixUps.Add(entry.N, new MixUp(Other, entry.Envelope.By, [.. InDoubt], Placed: false)),
        },
    };
}
