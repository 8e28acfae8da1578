using System.Globalization;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>Checks 5 and 6: what the ledger signed.</summary>
static class SignatureChecks
{
    /// <summary>Check 5: the checkpoint is signed by the key in force, and that key is the one the reader expects or follows from it.</summary>
    /// <param name="expected">Keys and policy the reader got elsewhere, for any ledger.</param>
    /// <param name="stranger">A key given that is of no ledger in this dossier; null when there is none such, or it is told elsewhere.</param>
    internal static Outcome Checkpoint(HistoryReading reading, Expected expected, VerifierKey? stranger)
    {
        if (reading.Checkpoint.Value is not { } checkpoint) return Outcome.Failed($"The checkpoint cannot be read: {reading.Checkpoint.Fault}");
        if (reading.Keys.Value is not { } keys) return KeysUnknown(reading);
        var note = SignedNote.Parse(reading.Part.Checkpoint!.Value.Span);
        var verdict = note.Verify(keys.InForceAt(checkpoint.Size));
        if (!verdict.Holds) return Outcome.Failed($"The checkpoint is not signed by the key that signed for {reading.Origin} at that size. {verdict.Sentence}");
        var signer = verdict.Signatures[0].Key;
        if (expected.Policy is { AsksForCosigners: true } policy && !IsCosigned(note, policy))
            return Outcome.Failed("The checkpoint is not cosigned as your policy asks.");
        var cosigned = Cosigned(note, keys, expected.Policy);
        var ours = expected.AllKeys.Where(k => k.Name == reading.Origin).ToList();
        if (ours.Count == 0)
        {
            return stranger is not null
                ? Outcome.Failed($"The key given is one of {stranger.Name}; this history is kept by {reading.Origin} and signed by {signer}.")
                : Outcome.OnHousesWord($"Signed by {signer}. Nobody vouched for this key: compare it with one you got elsewhere (--key).{cosigned}");
        }
        if (ours.Find(k => keys.Connects(k, signer)) is { } trusted)
            return Outcome.Passed((trusted.Equals(signer) ? "Signed by the key you gave." : "Signed by a key that follows from the one you gave by rotation.") + cosigned);
        return Outcome.Failed(ours.Exists(keys.Knows)
            ? "The key you gave and the one that signed are parted by a compromise: get the ledger's present key from its keeper."
            : $"Signed, but not by the key you gave: by {signer}.");
    }

    /// <summary>Whether a checkpoint bears the cosignatures that a reader asks for.</summary>
    internal static bool IsCosigned(SignedNote note, CosignPolicy policy) => policy.IsSatisfiedBy(policy.Cosigners.Select(c => c.Key).Where(k => note.Verify(k).Holds));

    static string Cosigned(SignedNote note, LedgerKeys keys, CosignPolicy? policy)
    {
        if (policy is { AsksForCosigners: true }) return " Cosigned as your policy asks.";
        var others = note.Signatures.Count(s => !keys.All.Any(k => k.Owns(s)));
        return others == 0 ? "" : $" {others} more signatures were not checked: no policy on cosigners was given (--policy).";
    }

    static Outcome KeysUnknown(HistoryReading reading) =>
        reading.Context.Lines.Any(l => l.Fault is not null) || reading.Places is { Faults.Count: > 0 }
            ? Outcome.NotChecked($"The ledger's keys could not be followed, see checks 2 and 4. {reading.Keys.Fault}")
            : Outcome.Failed($"The ledger's keys cannot be followed: {reading.Keys.Fault}");

    /// <summary>Check 6: the head names the last entry of this history at this checkpoint. That nothing came later is the house's word.</summary>
    internal static Outcome Head(HistoryReading reading, DateTimeOffset now)
    {
        if (reading.Head.Value is not { } head) return Outcome.Failed($"The head cannot be read: {reading.Head.Fault}");
        if (reading.Checkpoint.Value is not { } checkpoint) return Outcome.NotChecked("There is no checkpoint to compare it with; see check 5.");
        if (reading.Keys.Value is not { } keys) return Outcome.NotChecked($"The ledger's key is not known. {reading.Keys.Fault}");
        if (reading.First is not { } first || reading.History.Lines[^1] is not { N: { } n, Hash: { } hash }) return Outcome.NotChecked("The last entry cannot be read; see check 2.");
        if (Mismatch(reading, head, checkpoint, first, n, hash) is { } mismatch) return Outcome.Failed(mismatch);
        var verdict = SignedNote.Parse(reading.Part.Head!.Value.Span).Verify(keys.InForceAt(checkpoint.Size));
        if (!verdict.Holds) return Outcome.Failed($"The head is not signed by the ledger's key. {verdict.Sentence}");
        return Outcome.OnHousesWord($"Entry {n} is the last one, {AsOf(head.Time, now)}. Anything later is unknown: ask online.");
    }

    static string? Mismatch(HistoryReading reading, Head head, Checkpoint checkpoint, Bats.Envelope first, long n, string hash)
    {
        if (head.Origin != reading.Origin || head.Stream != first.Stream.ToString()) return $"The head is that of {head.Stream} in {head.Origin}.";
        if (head.N != n || head.Entry.Text != hash) return $"The head names entry {head.N} as the last, the history ends with entry {n}: it is cut short, or another.";
        if (head.Size != checkpoint.Size || head.Root != checkpoint.Root) return "The head was given for another checkpoint.";
        return reading.Last is { } last && head.Time < last.Recorded ? "The head is older than the last entry it names." : null;
    }

    internal static long DaysOld(DateTimeOffset time, DateTimeOffset now) => (long)Math.Floor((now - time).TotalDays);

    internal static string AsOf(DateTimeOffset time, DateTimeOffset now)
    {
        var ago = DaysOld(time, now) switch
        {
            < 0 => "which lies in the future of this machine's clock",
            0 => "less than a day ago",
            1 => "1 day ago",
            var days => string.Create(CultureInfo.InvariantCulture, $"{days} days ago"),
        };
        return $"complete as of {EntryText.Write(time)}, {ago}";
    }
}
