using Custody.Evidence;

namespace Custody.Bats;

/// <summary>One dated fact as it is stated: a moment lies within one of these dates.</summary>
/// <param name="Within">Several for several stints.</param>
/// <param name="Source">Number of the <c>SourceCited</c> it stands in, if it does.</param>
/// <param name="Text">In words, such as where it is published.</param>
public sealed record DatingStated(
    BatMoment Moment, IReadOnlyList<Edtf> Within, BoundStrength Strength, DatingScope Scope, DatingBasis Basis, long? Source = null, string? Text = null);

/// <summary>One dated fact. Keys are d1, d2, ...</summary>
public sealed record Dating(
    BatMoment Moment, IReadOnlyList<Edtf> Within, BoundStrength Strength, DatingScope Scope, DatingBasis Basis, long? Source, Withheld<string>? Text) : IPart;

/// <summary>A usual time between two neighbouring moments; never a hard bound.</summary>
public sealed record LagStated(BatMoment From, BatMoment To, int LeastDays, int MostDays, DatingBasis Basis) : IPart;

/// <summary>Record facts that bound when the bat was made, ordered, shipped, marked and used. The seasons they leave are computed, never recorded here.</summary>
/// <param name="Replaces">Numbers of earlier <c>DatingRecorded</c> that this takes the place of.</param>
public sealed record RecordDating(
    IReadOnlyList<DatingStated> Facts, IReadOnlyList<LagStated>? Lags, IReadOnlyList<long>? Replaces, string? Remarks) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new DatingRecorded(
            Numbered.By('d', Facts.Select(f => new Dating(f.Moment, f.Within, f.Strength, f.Scope, f.Basis, f.Source, f.Text))), Lags ?? [], Replaces ?? [], Remarks),
    ];
}

/// <summary>Dated facts were recorded.</summary>
public sealed record DatingRecorded(
    Keyed<Dating> Facts, IReadOnlyList<LagStated> Lags, IReadOnlyList<long> Replaces, Withheld<string>? Remarks) : BatFact
{
    /// <summary>Seasons with thirty facts take milliseconds; a hundred would not be read by anyone.</summary>
    public const int MostFacts = 60;

    // What was locked, given or measured is revised or withdrawn by its own act; only what was typed beside it can be a slip of the pen.
    public override bool DecidesBy(string member) => true;

    public override IEnumerable<long> RestsOn => Facts.Values.Select(f => f.Source).OfType<long>().Distinct();
    public override IEnumerable<long> Fells => Replaces;
    public override IEnumerable<long> Settles => Replaces;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Facts.Count + Lags.Count is 0 or > MostFacts)
            yield return new("dating-out-of-range", $"There are no dated facts, or more than {MostFacts}.", "Record those that bound something.");
        if (Facts.Keys.Any(key => Numbered.NumberOf('d', key) is null))
            yield return new("dating-key", "A fact's key is not d and a number.", "Number the facts d1, d2 and so on.");
        if (Sources.Refuse(bat, RestsOn) is { } source) yield return source;
        if (Datings.Refuse(bat, Replaces) is { } replaced) yield return replaced;
        // Read by the same code that computes the seasons, so that nothing is recorded that cannot be computed from.
        if (Seasons.Check([.. Read(entry.N)], [.. ReadLags(entry.N)]) is { } unfit) yield return new(unfit.Code, unfit.Sentence, unfit.Remedy);
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with { Datings = bat.Datings.Add(entry.N, Replaces) };

    /// <summary>The facts as seasons are computed from them, named by entry and key.</summary>
    internal IEnumerable<DatingFact> Read(long n) => Facts.Select(f => new DatingFact(
        $"{n}.{f.Key}", f.Value.Moment, f.Value.Within, f.Value.Strength == BoundStrength.Usual, f.Value.Scope == DatingScope.Player,
        (f.Value.Source is { } source ? $"entry {source}, " : "") + Words(f.Value.Basis) + (f.Value.Text is { } text ? ": " + text.Value : "")));

    internal IEnumerable<UsualLag> ReadLags(long n) => Lags.Select((l, i) => new UsualLag($"{n}.{Numbered.Key('l', i + 1)}", l.From, l.To, l.LeastDays, l.MostDays, Words(l.Basis)));

    internal static string Words(DatingBasis basis) => basis switch
    {
        DatingBasis.MakersMark => "maker's mark",
        DatingBasis.ModelStamp => "model stamp",
        DatingBasis.FactoryRecord => "factory record",
        DatingBasis.ClubRecord => "club record",
        DatingBasis.Picture => "picture",
        DatingBasis.UniformNumber => "uniform number",
        DatingBasis.Tenure => "tenure",
        DatingBasis.TeamOrEventMark => "team or event mark",
        DatingBasis.Damage => "damage",
        DatingBasis.Publication => "publication",
        DatingBasis.LetterOrInterview => "letter or interview",
        DatingBasis.CommonPractice => "common practice",
        _ => "other",
    };
}
