namespace Custody.Evidence.Weight;

/// <summary>One bat's findings against prepared files: which characteristics count, which do not and why.</summary>
sealed class BatCase
{
    readonly PreparedFiles files;
    readonly Dictionary<long, BatFinding> findings;

    internal BatCase(PreparedFiles files, IEnumerable<BatFinding> findings, Edtf? custody)
    {
        (this.files, Custody) = (files, custody);
        this.findings = findings.DistinctBy(f => f.Characteristic).ToDictionary(f => f.Characteristic);
    }

    internal Edtf? Custody { get; }

    internal IReadOnlyDictionary<long, BatFinding> Findings => findings;

    /// <summary>The refusal of findings: <c>unknown-characteristic</c>, <c>value-unknown</c>, <c>findings-contradict</c>.</summary>
    internal static EvidenceRefusal? Refuse(PreparedFiles files, IReadOnlyList<BatFinding> findings) =>
        findings.Any(f => !files.ById.ContainsKey(f.Characteristic)) ? PreparedFiles.UnknownCharacteristic
        : findings.Any(f => f.Value < 0 || f.Value > files.ById[f.Characteristic].Values || (f.State == FoundState.Seen) != (f.Value > 0))
            ? PreparedFiles.UnknownValue
        : findings.Distinct().GroupBy(f => f.Characteristic).Any(g => g.Count() > 1)
            ? new("findings-contradict", "Two findings of one characteristic contradict each other.", "Settle which one stands, or say that it cannot be judged.")
        : null;

    /// <summary>The same bat with one more thing known, or one less.</summary>
    internal BatCase With(BatFinding finding) => new(files, findings.Values.Where(f => f.Characteristic != finding.Characteristic).Append(finding), Custody);

    internal BatCase WithCustody(Edtf custody) => new(files, findings.Values, custody);

    /// <summary>The pieces that count against an alternative: of each family the first that does, in the fixed order.</summary>
    internal List<Piece> Counted(WeighedAgainst against)
    {
        List<Piece> pieces = [];
        foreach (var (family, candidates) in files.Families)
            if (candidates.FirstOrDefault(c => c.Members.All(id => Why(id, against) is null) && c.Occasions > 0) is { } first)
                pieces.Add(new Piece(first, ValueOf(first.Members), family));
        return pieces;
    }

    /// <summary>Every single characteristic that could count were families not dependent.</summary>
    internal List<Piece> AllCountable(WeighedAgainst against) =>
        [.. files.Order.Where(c => Why(c.Id, against) is null).Select(c => new Piece(files.Tallies.Of(c.Id), ValueOf([c.Id]), c.Family))];

    /// <summary>Why a characteristic cannot count; null when it can.</summary>
    internal Uncounted? Why(long id, WeighedAgainst against)
    {
        var (characteristic, counts) = (files.ById[id], files.Tallies.Of(id));
        return !findings.TryGetValue(id, out var found) ? Uncounted.NotLookedFor
            : found.State == FoundState.NotAssessable ? Uncounted.NotAssessable
            : found.State == FoundState.SeenValueNotSaid ? Uncounted.ValueNotSaid
            : files.Choices.Spent?.Contains(id) == true ? Uncounted.SpentOnDating
            : counts.Players == 0 ? Uncounted.NotCompared
            : counts.Occasions == 0 ? Uncounted.NoOccasions
            : against == WeighedAgainst.PreparedLater && characteristic.CanBeAdded != Known.No && !DocumentedBefore(characteristic.PublishedSince)
                ? Uncounted.CouldHaveBeenAdded
            : null;
    }

    /// <summary>Those not in the number, each with its reason.</summary>
    internal IReadOnlyList<UncountedCharacteristic> NotCounted(WeighedAgainst against, IReadOnlyList<Piece> counted)
    {
        var inside = counted.SelectMany(p => p.Counts.Members).ToHashSet();
        return [.. files.Order.Where(c => !inside.Contains(c.Id)).Select(c => new UncountedCharacteristic(c.Id, Why(c.Id, against) ?? Uncounted.NotFirstOfFamily))];
    }

    internal int ValueOf(IReadOnlyList<long> members) =>
        members.Aggregate(0, (value, id) => value * files.ById[id].Classes + findings[id].Value);

    // Every reading of the two dates has custody begin before the habit was public; a date nobody stated proves nothing.
    bool DocumentedBefore(Edtf? published) =>
        Custody is { StartUnknown: false } custody && published is { StartUnknown: false }
        && custody.Alternatives.Max(a => a.StartHi) < published.StartLo;
}
