using System.Globalization;
using System.Text;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>A public log to ask, and how much of it.</summary>
/// <param name="LaterOnly">Reads only what came after the dossier's checkpoint: finds every later entry, and no second one from before.</param>
public sealed record LogAsked(IPublicLog Log, bool LaterOnly = false);

/// <summary>What the public log said of a dossier.</summary>
/// <param name="Answered">Whether it could be read to a root that the ledger signed. When not, check 13 says why.</param>
/// <param name="Size">Size of its newest checkpoint; null when it did not answer.</param>
/// <param name="Later">Entries of the bat later than the dossier; null when it did not answer.</param>
/// <param name="Proof">Evidence against the ledger's key, judged; null when there is none, or its tiles do not give the proofs.</param>
public sealed record LogFinding(bool Answered, long? Size, long? Later, Misconduct? Proof);

/// <summary>Check 13 over the log's public tiles, and what they say of check 6. Only what the ledger signed can fail a dossier: whatever else is wrong
/// with an answer may be the doing of anybody on the way, and is "not checked".</summary>
sealed class CompletenessCheck
{
    readonly HistoryReading reading;
    readonly LogAsked asked;
    readonly Expected expected;
    readonly SlotWatch watch;

    CompletenessCheck(HistoryReading reading, LogAsked asked, Expected expected) =>
        (this.reading, this.asked, this.expected, watch) = (reading, asked, expected, new SlotWatch(reading.Origin));

    internal Outcome Entries { get; private set; } = Outcome.NotChecked("");

    /// <summary>Check 6 where the log tells more than the head; null where it does not.</summary>
    internal Outcome? Head { get; private set; }

    internal LogFinding Finding { get; private set; } = new(false, null, null, null);

    /// <summary>Asks the log about a history.</summary>
    /// <param name="sound">Whether its entries, chain, places, checkpoint and head hold.</param>
    internal static CompletenessCheck Of(HistoryReading reading, Expected expected, bool sound, LogAsked asked)
    {
        var check = new CompletenessCheck(reading, asked, expected);
        if (!sound)
        {
            check.Entries = Outcome.NotChecked("The dossier itself does not hold, so there is nothing to look for in the log; see checks 2 to 6.");
            return check;
        }
        try
        {
            check.Ask();
        }
        catch (LogUnavailable unavailable)
        {
            check.Entries = Outcome.NotChecked($"The public log could not be read. {unavailable.Sentence}");
        }
        return check;
    }

    void Ask()
    {
        var old = reading.Checkpoint.Value!;
        var (newest, key) = Newest();
        if (newest.Size < old.Size)
            throw new LogUnavailable("log-stale", $"It shows an older state, of {newest.Size} entries, than this dossier, of {old.Size}.");
        if (newest.Size == old.Size && newest.Root != old.Root)
        {
            TwoHistories(key, newest, null, null);
            return;
        }
        foreach (var line in reading.Lines) watch.Know(StreamOf(line), line.N!.Value, reading.Places!.Of(line)!.Value, Hash.Parse(line.Hash!));
        watch.Follow(StreamOf(reading.History.Lines[^1]), reading.History.Lines[^1].N!.Value);
        var hashes = LogPass.Hashes(asked.Log, newest.Size);
        var from = asked.LaterOnly ? Frontier.Read(old.Size, hashes) : new Frontier();
        var roots = LogPass.Over(asked.Log, new(newest.Origin, newest.Size, newest.Root), from, [old.Size], watch.See);
        if (roots[old.Size] != old.Root) TwoHistories(key, newest, hashes, roots[old.Size]);
        else Judge(key, newest, hashes);
    }

    string StreamOf(HistoryLine line) => (line.Form?.Envelope ?? reading.First!).Stream.ToString();

    (SignedTree Tree, VerifierKey Key) Newest()
    {
        var given = expected.AllKeys.Where(k => k.Name == reading.Origin).ToList();
        var note = Encoding.UTF8.GetString(asked.Log.Checkpoint().Span);
        var fault = "";
        foreach (var key in reading.Keys.Value!.All.Reverse().Concat(given).Distinct())
            if (SignedTree.Read(note, key, out fault) is { Head: null } tree && MayCount(key, tree, given)) return (tree, key);
        throw new LogUnavailable("log-key", $"Its checkpoint is not signed by a key of {reading.Origin} that this dossier leads to; if the key changed since, give the new one (--key). {fault}");
    }

    // A key that was followed by another counts up to the size of the change, unless the reader gave it himself.
    bool MayCount(VerifierKey key, SignedTree tree, List<VerifierKey> given) =>
        reading.Keys.Value!.InForceAt(tree.Size).Contains(key) || (given.Contains(key) && !reading.Keys.Value!.Knows(key));

    void TwoHistories(VerifierKey key, SignedTree newest, HashReader? hashes, Hash? prefix)
    {
        var note = Encoding.UTF8.GetString(reading.Part.Checkpoint!.Value.Span);
        var proof = SignedTree.Read(note, key, out _) is { } old ? Proof(() => MisconductSearch.TwoTrees(key, old, newest, hashes, prefix)) : null;
        Entries = Outcome.Failed($"The log of {reading.Origin} does not go on from this dossier's checkpoint: the ledger signed two histories. Keep the dossier.");
        Finding = new(true, newest.Size, null, proof);
    }

    void Judge(VerifierKey key, SignedTree newest, HashReader hashes)
    {
        var (last, size) = (reading.History.Lines[^1].N!.Value, reading.Checkpoint.Value!.Size);
        var denied = watch.Later.FirstOrDefault(s => s.Index < size);
        var later = watch.Later.Count(s => s.Index >= size);
        var at = string.Create(CultureInfo.InvariantCulture, $"under the ledger's checkpoint of {newest.Size} entries");
        Head = denied is not null
            ? Outcome.Failed($"The head names entry {last} as the last, and entry {denied.N} stands in the log below the head's size: the ledger denied it. Keep the dossier.")
            : asked.LaterOnly ? null
            : Outcome.Passed($"Entry {last} is the last one below the head's size: no later place of this history stands in the log up to there.");
        Entries = watch.Second is [var second, ..]
            ? Outcome.Failed($"Entry {second.N} of {second.Stream} stands in the log twice, at {second.FirstIndex} and at {second.Index}: the ledger told two histories. Keep the dossier.")
            : later > 0 ? Outcome.Failed($"{LaterThan.Words(later)} They stand in the log {at}.")
            : denied is not null ? Outcome.NotChecked("See check 6: the log holds an entry that the head denies.")
            : Nothing(newest, $"No later entry of this history {(asked.LaterOnly ? "" : "and no second one ")}stands in the public log {at}.");
        Finding = new(true, newest.Size, later, Evidence(key, newest, denied, hashes));
    }

    // That others are shown the same state is what cosigners are for.
    Outcome Nothing(SignedTree newest, string sentence) => expected.Policy is not { AsksForCosigners: true } policy
        ? Outcome.Passed($"{sentence} A ledger could show an old state to one reader: a policy on cosigners would tell (--policy).")
        : SignatureChecks.IsCosigned(SignedNote.Parse(Encoding.UTF8.GetBytes(newest.Note)), policy)
            ? Outcome.Passed($"{sentence} It is cosigned as your policy asks, so others are shown the same.")
            : Outcome.OnHousesWord($"{sentence} It is not cosigned as your policy asks: that others are shown the same is the ledger's word.");

    Misconduct? Evidence(VerifierKey key, SignedTree newest, SlotSeen? denied, HashReader hashes)
    {
        if (watch.Second is [var second, ..]) return Proof(() => MisconductSearch.SecondEntry(key, newest, second, hashes));
        if (denied is null) return null;
        var note = Encoding.UTF8.GetString(reading.Part.Head!.Value.Span);
        var signer = reading.Keys.Value!.InForceAt(reading.Checkpoint.Value!.Size).FirstOrDefault(k => SignedTree.Read(note, k, out _) is not null);
        return signer is null ? null : Proof(() => MisconductSearch.DeniedEntry(signer, SignedTree.Read(note, signer, out _)!, denied, hashes));
    }

    // The finding stands without it: what is missing then is only a proof for third parties.
    static Misconduct? Proof(Func<Misconduct> make)
    {
        try
        {
            return make();
        }
        catch (LogUnavailable)
        {
            return null;
        }
    }
}
