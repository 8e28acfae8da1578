namespace Custody.Bats;

/// <summary>Why findings were looked at again.</summary>
public enum RevisionCause
{
    AfterUnmasking,
    SecondLook,
    NewMeasurement,
    NewPicture,
    Mistake,
}

/// <summary>What became of a finding.</summary>
public enum RevisionKind
{
    Added,
    Replaced,
    TakenBack,
}

/// <summary>One finding to revise, by its number. A finding taken back is repeated as it now reads.</summary>
public sealed record RevisionStated(int Number, RevisionKind Change, FindingStated Finding);

/// <summary>Revise locked findings, in an open or a closed examination. The first ones stay to be read.</summary>
/// <param name="Reason">Why, in the examiner's words; the cause beside it is open.</param>
/// <param name="SecondExaminer">Who looked at it independently; needed to change a finding that was held with high confidence.</param>
public sealed record ReviseFindings(
    long Examination, RevisionCause Cause, IReadOnlyList<RevisionStated> Findings, IReadOnlyList<LayerSeen>? Layers, PartyId? SecondExaminer,
    string Reason) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new FindingsRevised(
            Examination, Cause, people.OfMaybe(SecondExaminer, Role.Examiner),
            new(Findings.Select((f, i) => KeyValuePair.Create(KeyOf(f, i), RevisedFinding.Of(f)))), Layers ?? [], Reason),
    ];

    // A number given twice gets a key that is refused, never one that quietly replaces the other.
    string KeyOf(RevisionStated stated, int place) =>
        Findings.Take(place).Any(f => f.Number == stated.Number)
            ? Numbered.Key('f', 0) + Numbered.Key('x', place)
            : Numbered.Key('f', stated.Number);
}

/// <summary>A finding as revised.</summary>
public sealed record RevisedFinding(
    RevisionKind Change, FindingKind Kind, Presence Presence, Confidence Confidence, SeenBy SeenBy, SurfacePlace? Place,
    Evidence.Quantity? Measure, IReadOnlyList<PictureHash> Pictures, Withheld<string>? Text) : IPart
{
    internal static RevisedFinding Of(RevisionStated stated)
    {
        var finding = Finding.Of(stated.Finding);
        return new(stated.Change, finding.Kind, finding.Presence, finding.Confidence, finding.SeenBy, finding.Place, finding.Measure,
            finding.Pictures, finding.Text);
    }
}

/// <summary>Locked findings were revised; every opinion that rests on the examination becomes open work.</summary>
public sealed record FindingsRevised(
    long Examination, RevisionCause Cause, Alias? SecondExaminer, Keyed<RevisedFinding> Findings, IReadOnlyList<LayerSeen> Layers,
    Withheld<string>? Reason) : BatFact
{
    // What was locked, given or measured is revised or withdrawn by its own act; only what was typed beside it can be a slip of the pen.
    public override bool DecidesBy(string member) => true;

    public override IEnumerable<long> Fells => [Examination];
    public override IEnumerable<long> Settles => [Examination];

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Examinations.Refuse(bat, Examination, entry.Envelope.By) is { } refused) return [refused];
        var examination = bat.Examinations.ByEntry[Examination];
        if (!bat.Corrections.Stands(examination.Locked))
            return [new("findings-not-locked", "There are no locked findings to revise.", "Lock the findings first.")];
        return Shape(examination).Concat(Changes(examination));
    }

    IEnumerable<Refusal> Shape(Examination examination)
    {
        if (Findings.Count == 0) yield return new("no-findings", "No finding is revised.", "Name the findings that change.");
        var known = Findings.Keys.Select(key => Numbered.NumberOf('f', key)).OfType<int>().Concat(examination.Findings.Keys).ToHashSet();
        foreach (var refusal in FindingRules.Refuse(Findings.Values.Select(f => f.Place), Layers, known)) yield return refusal;
    }

    IEnumerable<Refusal> Changes(Examination examination)
    {
        foreach (var (key, revised) in Findings)
        {
            var number = Numbered.NumberOf('f', key);
            var held = number is { } n && examination.Findings.TryGetValue(n, out var confidence) ? confidence : (Confidence?)null;
            if (number is null || (revised.Change == RevisionKind.Added) != (held is null) || examination.TakenBack.Contains(number.Value))
            {
                yield return new("finding-unknown", $"{key} cannot be {Words(revised.Change)}.",
                    "Replace what is there, add under a new number.");
                yield break;
            }
            // Linear Sequential Unmasking (Dror and others 2015): what was first held with high confidence changes only under extra scrutiny.
            if (held == Confidence.High && (SecondExaminer is null || SecondExaminer == examination.Examiner))
            {
                yield return new("second-examiner-needed", $"{key} was held with high confidence.",
                    "Name a second examiner who looked independently, or open a new examination.");
                yield break;
            }
        }
    }

    static string Words(RevisionKind change) => change switch
    {
        RevisionKind.Added => "added",
        RevisionKind.Replaced => "replaced",
        _ => "taken back",
    };

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Examinations = bat.Examinations.With(Examination, e => Findings.Aggregate(e with { Revised = e.Revised.Add(entry.N) }, Step)),
        Corrections = bat.Corrections.After(Examination, [entry.N], [], []),
    };

    static Examination Step(Examination examination, KeyValuePair<string, RevisedFinding> finding)
    {
        var number = Numbered.NumberOf('f', finding.Key)!.Value;
        var (revised, damage) = (finding.Value, examination.Damage.Remove(number));
        if (revised.Change == RevisionKind.TakenBack)
            return examination with
            {
                Findings = examination.Findings.Remove(number),
                TakenBack = examination.TakenBack.Add(number),
                Damage = damage,
                Held = examination.Held.Remove(number),
            };
        return examination with
        {
            Findings = examination.Findings.SetItem(number, revised.Confidence),
            Damage = NewDamage.Is(revised.Kind) ? damage.Add(number, new DamageNoted(revised.Kind, revised.Presence, revised.Place, revised.Measure)) : damage,
            Held = examination.Held.SetItem(number, FindingHeld.Of(revised.Kind, revised.Presence, revised.Measure)),
        };
    }
}
