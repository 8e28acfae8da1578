namespace Custody.Bats;

/// <summary>What is looked at after the bat itself, in this order: from least to most apt to sway.</summary>
public enum Stage
{
    HabitFile,
    Sources,
    FactoryRecord,
    OwnEarlierFindings,
    OthersOpinions,
    Price,
}

/// <summary>How the examiner came to see it: opened here in turn, or against the order by accident.</summary>
public enum SeenHow
{
    Opened,
    ByAccident,
}

/// <summary>Show the examiner something besides the bat. The ledger knows what was opened through it, and says no more than that.</summary>
/// <param name="Entries">Entries of this bat that were shown (sources, opinions, earlier findings).</param>
/// <param name="References">Entries of other streams that were shown, such as a version of a habit file.</param>
/// <param name="Effect">In the examiner's words, what it did to the findings.</param>
public sealed record Unmask(
    long Examination, Stage Stage, SeenHow How, IReadOnlyList<long>? Entries, IReadOnlyList<Reference>? References, string? What, string? Effect)
    : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new Unmasked(Examination, Stage, How, Entries ?? [], References ?? [], What, Effect)];
}

/// <summary>The examiner saw something besides the bat.</summary>
public sealed record Unmasked(
    long Examination, Stage Stage, SeenHow How, IReadOnlyList<long> Entries, IReadOnlyList<Reference> References,
    Withheld<string>? What, Withheld<string>? Effect) : BatFact
{
    // What was locked, given or measured is revised or withdrawn by its own act; only what was typed beside it can be a slip of the pen.
    public override bool DecidesBy(string member) => true;

    public override IEnumerable<Reference> Cites => References;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Examinations.Refuse(bat, Examination, entry.Envelope.By) is { } refused) return [refused];
        var examination = bat.Examinations.ByEntry[Examination];
        if (bat.Corrections.Stands(examination.Closed)) return [CloseExamination.Already];
        if (Entries.Any(n => n < 1 || n > bat.N))
            return [new("shown-nothing", "An entry said to have been shown does not exist on this bat.", "Name entries that exist.")];
        if (References.Any(r => r.Ledger is null && cited.Find(r) is null))
            return [new("cited-not-found", "A reference does not lead to an entry known here.", "Cite it by stream, number and hash.")];
        // Not under the name of an earlier stage what belongs to a later one; seen by accident it is a fact all the same.
        if (examination.Blinding == Blinding.FixedOrder && How == SeenHow.Opened && Entries.Any(n => Stages.Of(bat, Examination, n) > Stage))
            return [new("shown-before-its-stage", "An entry said to have been shown belongs to a later stage.", "Go on in order, or say that it was seen by accident.")];
        return InTurn(examination, bat.Corrections) ? [] :
            [new("unmasked-out-of-order", "The order of an examination in fixed order would be broken.",
                "Lock the findings first and go on in order; say so when it was seen by accident, or that the examination is not blind.")];
    }

    // Whatever was seen by accident is a fact: refusing it would only hide it.
    bool InTurn(Examination examination, Corrections corrections) =>
        examination.Blinding == Blinding.NotBlind || How == SeenHow.ByAccident
        || (corrections.Stands(examination.Locked)
            && examination.Unmasked.Where(u => u.How == SeenHow.Opened && corrections.Stands(u.Entry)).All(u => u.Stage <= Stage));

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Examinations = bat.Examinations.With(Examination, e => e with
        {
            Unmasked = e.Unmasked.Add(new Unmasking(entry.N, Stage, How, AfterLock: bat.Corrections.Stands(e.Locked)) { Shown = [.. Entries] }),
        }),
    };
}
