using System.Text;
using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>The keys of a ledger, one after the other, as its own stream tells them.</summary>
sealed class LedgerKeys
{
    /// <param name="From">Tree size from which the key signs.</param>
    /// <param name="UpTo">Tree size up to which its checkpoints count; null while it signs.</param>
    /// <param name="Compromised">When it was said to be compromised; null when it was not.</param>
    sealed record Period(VerifierKey Key, long From, long? UpTo, DateTimeOffset? Compromised);

    readonly List<Period> periods;

    LedgerKeys(List<Period> periods) => this.periods = periods;

    internal IEnumerable<VerifierKey> All => periods.Select(p => p.Key);

    /// <summary>The keys whose word counts for a tree of this size: one, or two at the very size of a rotation. A compromised key counts only for what
    /// somebody else saw before the compromise was declared.</summary>
    /// <param name="seen">When others cosigned or time-stamped what was signed; null when nobody did.</param>
    internal IReadOnlyList<VerifierKey> InForceAt(long size, DateTimeOffset? seen = null) =>
        [.. periods.Where(p => size >= p.From && (p.UpTo is null || size <= p.UpTo) && (p.Compromised is not { } told || seen < told)).Select(p => p.Key)];

    internal bool Knows(VerifierKey key) => periods.Exists(p => p.Key.Equals(key));

    /// <summary>Whether somebody who trusts one of these keys may trust the other. Only a rotation signed by both keys carries trust: what the
    /// ledger's first entry promises is nobody's signature, so a compromise, signed by the promised key alone, carries none.</summary>
    internal bool Connects(VerifierKey a, VerifierKey b)
    {
        var (i, j) = (periods.FindIndex(p => p.Key.Equals(a)), periods.FindIndex(p => p.Key.Equals(b)));
        if (i > j) (i, j) = (j, i);
        return i >= 0 && !periods.GetRange(i, j - i).Exists(p => p.Compromised is not null);
    }

    /// <summary>Follows the keys from the ledger's first entry through every rotation.</summary>
    /// <param name="entries">Entries of the ledger's own stream by log index.</param>
    /// <exception cref="Malformed">The first entry is missing, or a rotation does not follow.</exception>
    internal static LedgerKeys Follow(string origin, IEnumerable<(long Index, Entry Entry)> entries)
    {
        List<Period> periods = [];
        var promised = default(Hash);
        foreach (var (index, entry) in entries)
        {
            if (entry.Fact is LedgerOpened opened)
            {
                if (index != 0 || periods.Count > 0 || opened.Origin != origin) throw new Malformed("keys.opened", "The entry that opens the ledger is not its log's first.");
                periods.Add(new Period(VerifierKey.Parse(opened.Key), 0, null, null));
                promised = Hash.Parse(opened.NextKey);
            }
            else if (NoteOf(entry.Fact) is { } note)
            {
                if (periods.Count == 0) break;
                var rotation = KeyRotation.Follow(SignedNote.Parse(Encoding.UTF8.GetBytes(note)), periods[^1].Key, promised);
                if (rotation.Origin != origin || rotation.Size < periods[^1].From || rotation.Size > index || rotation.Compromised != entry.Fact is KeyCompromised)
                    throw new Malformed("keys.rotation", "A rotation is not one of this ledger at this place.");
                periods[^1] = periods[^1] with { UpTo = rotation.Size, Compromised = rotation.Compromised ? entry.Envelope.Recorded : null };
                periods.Add(new Period(rotation.New, rotation.Size, null, null));
                promised = rotation.Next;
            }
        }
        if (periods.Count == 0) throw new Malformed("keys.opened", "The context lacks the entry that opens the ledger and names its key.");
        if (!string.Equals(periods[0].Key.Name, origin, StringComparison.Ordinal)) throw new Malformed("keys.opened", "The ledger's first key bears another name.");
        return new(periods);
    }

    static string? NoteOf(Fact fact) => fact switch
    {
        KeyRotated rotated => rotated.Note,
        KeyCompromised compromised => compromised.Note,
        _ => null,
    };
}
