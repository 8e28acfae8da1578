using System.Globalization;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>Whether evidence convicts, and the reason.</summary>
public sealed record Judgement(bool Convicts, string Sentence);

/// <summary>Judges evidence by nothing but itself. Whoever keeps a ledger honestly cannot be convicted, whatever others put together from what it
/// signed: each verdict rests on hashes that lead to a root under the key's own signature, and SHA-256 gives one root one tree.</summary>
public static class MisconductJudge
{
    /// <summary>Judges; never throws for anything in the evidence.</summary>
    public static Judgement Judge(Misconduct evidence)
    {
        List<SignedTree> trees = [];
        foreach (var note in evidence.Notes)
        {
            if (SignedTree.Read(note, evidence.Key, out var fault) is not { } tree) return No(fault);
            trees.Add(tree);
        }
        return (evidence.Kind, trees) switch
        {
            (MisconductKind.TwoTrees, [var one, var other]) => TwoTrees(evidence, one, other),
            (MisconductKind.SecondEntry, [var tree]) when evidence.Records is [var one, var other] => SecondEntry(tree, one, other),
            (MisconductKind.DeniedEntry, [{ Head: { } head } tree]) when evidence is { Records: [var record], N: { } n } => DeniedEntry(tree, head, record, n),
            _ => No("The evidence lacks what its kind needs."),
        };
    }

    static Judgement TwoTrees(Misconduct evidence, SignedTree one, SignedTree other)
    {
        if (one.Size == other.Size)
            return one.Root == other.Root ? No("Both notes name the same tree.") : Yes($"It signed two different trees of {one.Size} entries.");
        if (evidence.Prefix is not { } prefix || !Merkle.VerifyConsistency(one.Size, prefix, other.Size, other.Root, evidence.Consistency))
            return No("The proof does not lead to the root of the longer tree.");
        return prefix == one.Root
            ? No("The longer tree begins with the shorter one, as it must.")
            : Yes($"It signed a tree of {one.Size} entries and later one of {other.Size} that does not begin with it: it told two histories.");
    }

    static Judgement SecondEntry(SignedTree tree, ProvenRecord one, ProvenRecord other)
    {
        if (one.Index == other.Index) return No("Both records stand at one index: that is one record.");
        if (one.Record.Slot != other.Record.Slot) return No("The two records are of two different places.");
        if (!IsIn(tree, one) || !IsIn(tree, other)) return No("A record is not in the tree that was signed.");
        return Yes($"Its signed tree holds one place of one stream twice, at {one.Index} and at {other.Index}.");
    }

    static Judgement DeniedEntry(SignedTree tree, Head head, ProvenRecord record, long n)
    {
        if (n < 1 || record.Record.Slot != SlotTag.Compute(head.Origin, head.Stream, n)) return No("The record is not that entry of the head's stream.");
        if (!IsIn(tree, record)) return No("The record is not in the head's tree.");
        if (n > head.N) return Yes($"Its signed head ends {head.Stream} with entry {head.N}; entry {n} stands in the head's own tree, at {record.Index}.");
        return n == head.N && record.Record.Entry != head.Entry
            ? Yes($"Its signed head names another entry {n} of {head.Stream} than stands in the head's own tree, at {record.Index}.")
            : No("The head does not deny this entry.");
    }

    // RFC 9162 section 2.1.3.2; the index is part of what the path proves, and must be below the size.
    static bool IsIn(SignedTree tree, ProvenRecord record) =>
        Merkle.VerifyInclusion(record.Record.Leaf(), record.Index, tree.Size, record.Proof, tree.Root);

    static Judgement Yes(FormattableString sentence) => new(true, sentence.ToString(CultureInfo.InvariantCulture));

    static Judgement No(string sentence) => new(false, sentence);
}
