namespace Custody.Transparency;

/// <summary>What a cosigner answers, by the numbers of HTTP (RFC 9110) that c2sp.org/tlog-witness assigns.</summary>
public enum CosignStatus
{
    /// <summary>To be cosigned and remembered, both or neither.</summary>
    Cosign = 200,

    /// <summary>The size said to be cosigned last is larger than the new one.</summary>
    OldTooLarge = 400,

    /// <summary>None of the trusted keys has signed.</summary>
    NotSigned = 403,

    /// <summary>A ledger this cosigner does not cosign for.</summary>
    UnknownOrigin = 404,

    /// <summary>Another size was cosigned last; or the same size with another root, which convicts.</summary>
    Conflict = 409,

    /// <summary>The new tree is not the old one continued, by this proof.</summary>
    NotConsistent = 422,
}

/// <summary>A cosigner's decision.</summary>
/// <param name="Checkpoint">The checkpoint as it was read; null before it was.</param>
/// <param name="IsFork">Whether the request and the checkpoint cosigned last convict the ledger (<see cref="CosignRules.Convicts"/>): evidence to be kept for
/// ever, whoever asked.</param>
public sealed record CosignDecision(CosignStatus Status, Checkpoint? Checkpoint, bool IsFork = false);

/// <summary>Decides about a request (c2sp.org/tlog-witness, "add-checkpoint"). Pure: whoever calls it remembers the answer in the same transaction in
/// which it read <c>latest</c>, or two requests at once could roll the record back.</summary>
public static class CosignRules
{
    /// <param name="request">The request.</param>
    /// <param name="trusted">Keys trusted for an origin; empty for one that is not known.</param>
    /// <param name="latest">The checkpoint of that origin cosigned last; null before the first.</param>
    /// <exception cref="Malformed"><c>checkpoint</c>: the note is no checkpoint.</exception>
    public static CosignDecision Decide(AddCheckpoint request, Func<string, IReadOnlyList<VerifierKey>> trusted, Checkpoint? latest)
    {
        var checkpoint = Checkpoint.Read(request.Checkpoint);
        var keys = trusted(checkpoint.Origin);
        if (keys.Count == 0) return new(CosignStatus.UnknownOrigin, checkpoint);
        if (!request.Checkpoint.Verify(keys).Holds) return new(CosignStatus.NotSigned, checkpoint);
        // From here on the checkpoint is the ledger's own word, so it may convict the ledger even where the request is otherwise stale.
        var fork = latest is not null && AreTwoTrees(latest, checkpoint, request.Old, request.Proof);
        if (request.Old > checkpoint.Size) return new(CosignStatus.OldTooLarge, checkpoint, fork);
        if (request.Old != (latest?.Size ?? 0) || (fork && request.Old == checkpoint.Size)) return new(CosignStatus.Conflict, checkpoint, fork);
        return Merkle.VerifyConsistency(request.Old, latest?.Root ?? Merkle.EmptyRoot, checkpoint.Size, checkpoint.Root, request.Proof)
            ? new(CosignStatus.Cosign, checkpoint)
            : new(CosignStatus.NotConsistent, checkpoint, fork);
    }

    /// <summary>
    /// Whether two notes convict a ledger before anyone: it signed two trees that cannot both be the beginning of one. Either both have one size and
    /// two roots, or the later one's own consistency proof leads to it from another root than was signed for the earlier size. A proof that leads nowhere
    /// convicts nobody, since anyone could have sent it.
    /// </summary>
    /// <param name="key">A key of the ledger.</param>
    /// <param name="earlier">A checkpoint that somebody saw, as the ledger signed it.</param>
    /// <param name="later">What somebody was asked to cosign.</param>
    public static bool Convicts(VerifierKey key, SignedNote earlier, AddCheckpoint later)
    {
        try
        {
            var (first, second) = (Checkpoint.Read(earlier), Checkpoint.Read(later.Checkpoint));
            return earlier.Verify(key).Holds && later.Checkpoint.Verify(key).Holds && first.Origin == second.Origin && AreTwoTrees(first, second, later.Old, later.Proof);
        }
        catch (Malformed)
        {
            return false; // a note that is no checkpoint says nothing of any tree
        }
    }

    static bool AreTwoTrees(Checkpoint first, Checkpoint second, long old, IReadOnlyList<Hash> proof) => first.Size == second.Size
        ? first.Root != second.Root
        : old == first.Size && Merkle.EarlierRoot(old, second.Size, second.Root, proof) is { } root && root != first.Root;

    /// <summary>Reads a cosigner's answer: the lines of the keys asked for that fit the checkpoint; lines of other keys are left aside.</summary>
    /// <param name="checkpoint">The signed checkpoint that was sent.</param>
    /// <param name="body">The answer: one or more signature lines.</param>
    /// <param name="keys">The cosigner's keys.</param>
    /// <exception cref="Malformed"><c>note.signature</c> and the other codes of a note: the answer is none; <c>cosign.answer</c>: no line of these keys, or one
    /// that does not fit.</exception>
    public static IReadOnlyList<NoteSignature> ReadAnswer(SignedNote checkpoint, ReadOnlySpan<byte> body, params IReadOnlyList<VerifierKey> keys)
    {
        var answered = SignedNote.Parse([.. checkpoint.ToArray(), .. body]);
        List<NoteSignature> fitting = [];
        foreach (var signature in answered.Signatures.Skip(checkpoint.Signatures.Count))
        {
            if (keys.FirstOrDefault(k => k.Type == VerifierKey.Cosignature && k.Owns(signature)) is not { } key) continue;
            if (!key.Verify(checkpoint.TextBytes, signature.Signature.Span)) throw new Malformed("cosign.answer", "The cosignature does not fit the checkpoint.");
            fitting.Add(signature);
        }
        return fitting.Count > 0 ? fitting : throw new Malformed("cosign.answer", "The answer holds no cosignature of the key asked for.");
    }
}
