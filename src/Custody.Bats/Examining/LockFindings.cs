using System.Collections.Immutable;

namespace Custody.Bats;

/// <summary>Lock the findings on the bat before anything else is looked at. They are numbered f1, f2, ... as listed.</summary>
/// <param name="Examination">Number of the <c>ExaminationOpened</c>.</param>
/// <param name="Views">An answer to each view of the fixed list, in its order; others may follow.</param>
public sealed record LockFindings(
    long Examination, IReadOnlyList<FindingStated> Findings, IReadOnlyList<LayerSeen>? Layers, IReadOnlyList<ViewSeen> Views, string? Remarks)
    : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new FindingsLocked(Examination, Numbered.By('f', Findings.Select(Finding.Of)), Layers ?? [], Views, Remarks)];
}

/// <summary>The examiner's findings on the bat, locked: later ones are revisions that leave these to be read.</summary>
public sealed record FindingsLocked(
    long Examination, Keyed<Finding> Findings, IReadOnlyList<LayerSeen> Layers, IReadOnlyList<ViewSeen> Views, Withheld<string>? Remarks)
    : BatFact
{
    // What was locked, given or measured is revised or withdrawn by its own act; only what was typed beside it can be a slip of the pen.
    public override bool DecidesBy(string member) => true;

    /// <summary>Locking again, after the first lock was found void, restates the examination.</summary>
    public override IEnumerable<long> Settles => [Examination];

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Examinations.Refuse(bat, Examination, entry.Envelope.By) is { } refused) return [refused];
        var examination = bat.Examinations.ByEntry[Examination];
        if (bat.Corrections.Stands(examination.Closed)) return [CloseExamination.Already];
        if (bat.Corrections.Stands(examination.Locked))
            return [new("findings-locked-already", "The findings of this examination are locked.", "Revise them, with a reason.")];
        return Shape();
    }

    IEnumerable<Refusal> Shape()
    {
        if (Findings.Count == 0)
            yield return new("no-findings", "No finding is given.", "State what was seen, what is absent and what could not be judged.");
        if (!Views.Take(ViewSeen.Fixed.Count).Select(v => v.View).SequenceEqual(ViewSeen.Fixed))
            yield return new("views-unanswered", "The fixed list of views was not gone through in order.",
                "Answer each view of the list, also those that could not be seen.");
        var numbers = Findings.Keys.Select(key => Numbered.NumberOf('f', key)).ToList();
        if (numbers.Contains(null))
            yield return new("finding-key", "A finding's key is not f and a number.", "Number the findings f1, f2 and so on.");
        foreach (var refusal in FindingRules.Refuse(Findings.Values.Select(f => f.Place), Layers, numbers.OfType<int>().ToHashSet()))
            yield return refusal;
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Examinations = bat.Examinations.With(Examination, e => e with
        {
            Locked = entry.N,
            Findings = Findings.ToImmutableSortedDictionary(f => Numbered.NumberOf('f', f.Key)!.Value, f => f.Value.Confidence),
            Damage = Findings.Where(f => NewDamage.Is(f.Value.Kind)).ToImmutableSortedDictionary(
                f => Numbered.NumberOf('f', f.Key)!.Value, f => new DamageNoted(f.Value.Kind, f.Value.Presence, f.Value.Place, f.Value.Measure)),
            Held = Findings.ToImmutableSortedDictionary(
                f => Numbered.NumberOf('f', f.Key)!.Value, f => FindingHeld.Of(f.Value.Kind, f.Value.Presence, f.Value.Measure)),
        }),
        // The examination stands on its findings, so that correcting them reaches every opinion that rests on the examination.
        Corrections = bat.Corrections.After(Examination, [entry.N], [], []),
    };
}
