namespace Custody.Bats;

/// <summary>How an examination ended. One given up carries no opinion.</summary>
public enum ExaminationOutcome
{
    Complete,
    Partial,
    GivenUp,
}

/// <summary>Close an examination. Only a closed one carries an opinion of the house (rule 4).</summary>
public sealed record CloseExamination(long Examination, ExaminationOutcome Outcome, string? Remarks) : BatCommand
{
    internal static readonly Refusal Already = new("examination-closed", "This examination is closed.", "Open a new one, or revise its findings.");

    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) => [new ExaminationClosed(Examination, Outcome, Remarks)];
}

/// <summary>An examination was closed.</summary>
public sealed record ExaminationClosed(long Examination, ExaminationOutcome Outcome, Withheld<string>? Remarks) : BatFact
{
    // What was locked, given or measured is revised or withdrawn by its own act; only what was typed beside it can be a slip of the pen.
    public override bool DecidesBy(string member) => true;

    public override bool AllowedAfterTheEnd => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        // Anyone may give up an examination whose examiner has left it.
        var by = Outcome == ExaminationOutcome.GivenUp && bat.Examinations.ByEntry.TryGetValue(Examination, out var e)
            ? e.Examiner
            : entry.Envelope.By;
        if (Examinations.Refuse(bat, Examination, by) is { } refused) return [refused];
        var examination = bat.Examinations.ByEntry[Examination];
        if (bat.Corrections.Stands(examination.Closed)) return [CloseExamination.Already];
        if (!bat.Corrections.Stands(examination.Locked) && Outcome != ExaminationOutcome.GivenUp)
            return [new("findings-not-locked", "An examination without locked findings has nothing to close on.",
                "Lock the findings, or give it up.")];
        return [];
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Examinations = bat.Examinations.With(Examination, e => e with { Closed = entry.N, Outcome = Outcome }),
    };
}
