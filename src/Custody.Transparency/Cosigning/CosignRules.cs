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
/// <param name="IsFork">Whether a key that the cosigner trusts has signed two trees of one size: evidence to be kept for ever, whoever asked.</param>
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
        // From here on the checkpoint is the ledger's own word, so a second root of one size convicts it even where the request is otherwise stale.
        var fork = latest is not null && latest.Size == checkpoint.Size && latest.Root != checkpoint.Root;
        if (request.Old > checkpoint.Size) return new(CosignStatus.OldTooLarge, checkpoint, fork);
        if (request.Old != (latest?.Size ?? 0) || fork) return new(CosignStatus.Conflict, checkpoint, fork);
        return Merkle.VerifyConsistency(request.Old, latest?.Root ?? Merkle.EmptyRoot, checkpoint.Size, checkpoint.Root, request.Proof)
            ? new(CosignStatus.Cosign, checkpoint)
            : new(CosignStatus.NotConsistent, checkpoint);
    }

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
