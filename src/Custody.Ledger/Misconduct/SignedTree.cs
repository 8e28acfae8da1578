using System.Text;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>A tree that a ledger vouched for under its signature: a checkpoint, or a head, which names one.</summary>
/// <param name="Note">The signed note.</param>
/// <param name="Head">What the head says; null when the note is a checkpoint.</param>
sealed record SignedTree(string Note, string Origin, long Size, Hash Root, Custody.Transparency.Head? Head)
{
    /// <summary>Reads a note that this key itself has signed as the key of the ledger it speaks for.</summary>
    /// <returns>Null with a sentence when it is anything else.</returns>
    internal static SignedTree? Read(string note, VerifierKey key, out string fault)
    {
        try
        {
            var signed = SignedNote.Parse(Encoding.UTF8.GetBytes(note));
            var verdict = signed.Verify(key);
            if (!verdict.Holds)
            {
                fault = $"A note is not signed by the key. {verdict.Sentence}";
                return null;
            }
            var tree = Of(note, signed);
            // A cosigner's key has another type, and a stranger may give a key any name: only the ledger's own word about itself counts.
            var own = key.Type == VerifierKey.Ed25519 && Custody.Transparency.Origin.IsValid(key.Name) && tree.Origin == key.Name;
            fault = own ? "" : "A note is of another ledger than the key.";
            return own ? tree : null;
        }
        catch (Malformed malformed)
        {
            fault = $"A note is neither checkpoint nor head: {malformed.Sentence}";
            return null;
        }
    }

    // No ledger's name ends in /head, so the first line tells the two apart.
    static SignedTree Of(string note, SignedNote signed)
    {
        if (signed.Text.Split('\n')[0].EndsWith("/head", StringComparison.Ordinal))
        {
            var head = Custody.Transparency.Head.Read(signed);
            return new(note, head.Origin, head.Size, head.Root, head);
        }
        var checkpoint = Checkpoint.Read(signed);
        return new(note, checkpoint.Origin, checkpoint.Size, checkpoint.Root, null);
    }
}
