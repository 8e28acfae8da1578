using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>What a ledger cannot have done honestly.</summary>
public enum MisconductKind
{
    /// <summary>It signed two trees of which the longer does not begin with the shorter: two histories.</summary>
    TwoTrees,

    /// <summary>One place of one stream stands in its tree twice.</summary>
    SecondEntry,

    /// <summary>It signed a head that leaves out an entry of that stream, or names another in its place, though the entry is in the head's own tree.</summary>
    DeniedEntry,
}

/// <summary>A record with the proof that it is in a tree.</summary>
/// <param name="Proof">RFC 9162 section 2.1.3: from the leaf's sibling up.</param>
public sealed record ProvenRecord(long Index, LogRecord Record, IReadOnlyList<Hash> Proof);

/// <summary>The evidence against one key, as it travels in a file. It proves nothing before <see cref="MisconductJudge.Judge"/> has said so.</summary>
/// <param name="Key">Whom it is held against: the key that signed every note in it.</param>
/// <param name="Notes">Signed checkpoints or heads: two for <see cref="MisconductKind.TwoTrees"/>, the smaller tree first; otherwise one.</param>
public sealed record Misconduct(MisconductKind Kind, VerifierKey Key, IReadOnlyList<string> Notes)
{
    /// <summary>For <see cref="MisconductKind.SecondEntry"/> two records, for <see cref="MisconductKind.DeniedEntry"/> one.</summary>
    public IReadOnlyList<ProvenRecord> Records { get; init; } = [];

    /// <summary>For <see cref="MisconductKind.DeniedEntry"/>: number of the denied entry in the head's stream.</summary>
    public long? N { get; init; }

    /// <summary>For <see cref="MisconductKind.TwoTrees"/> of two sizes: the root that the longer tree really has at the smaller size.</summary>
    public Hash? Prefix { get; init; }

    /// <summary>And the consistency proof (RFC 9162 section 2.1.4) that leads from there to the longer tree's root.</summary>
    public IReadOnlyList<Hash> Consistency { get; init; } = [];
}
