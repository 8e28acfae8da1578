namespace Custody.Server.Auditing;

/// <summary>One thing that is not as it must be.</summary>
/// <param name="Code">Stable word for the kind of finding.</param>
/// <param name="Where">The exact row, file or object.</param>
/// <param name="IsFault">False for a remark: worth a look, and no sign that anything was changed.</param>
public sealed record Finding(string Code, string Where, string Sentence, bool IsFault = true)
{
    public override string ToString() => $"{(IsFault ? "FAULT " : "remark")} {Code}  {Where}: {Sentence}";
}

/// <summary>What an audit has found so far. Of each kind the first thousand are kept, the others counted, so that memory stays flat whatever was done.</summary>
public sealed class Findings
{
    public const int KeptOfAKind = 1000;

    readonly Lock turn = new();
    readonly SortedDictionary<string, List<Finding>> kinds = new(StringComparer.Ordinal);
    readonly SortedDictionary<string, long> counts = new(StringComparer.Ordinal);

    public long Faults { get; private set; }

    public long Remarks { get; private set; }

    public void Fault(string code, string where, string sentence) => Add(new(code, where, sentence));

    public void Remark(string code, string where, string sentence) => Add(new(code, where, sentence, IsFault: false));

    void Add(Finding finding)
    {
        lock (turn)
        {
            if (finding.IsFault) Faults++;
            else Remarks++;
            counts[finding.Code] = counts.GetValueOrDefault(finding.Code) + 1;
            if (!kinds.TryGetValue(finding.Code, out var kept)) kinds[finding.Code] = kept = [];
            if (kept.Count < KeptOfAKind) kept.Add(finding);
        }
    }

    /// <summary>Everything kept, by kind, in the order it was found.</summary>
    public IReadOnlyList<Finding> Kept
    {
        get
        {
            lock (turn) return [.. kinds.Values.SelectMany(k => k)];
        }
    }

    /// <summary>How many of a kind were found but not kept.</summary>
    public IReadOnlyList<(string Code, long More)> Beyond
    {
        get
        {
            lock (turn) return [.. counts.Where(c => c.Value > KeptOfAKind).Select(c => (c.Key, c.Value - KeptOfAKind))];
        }
    }
}
