using System.Collections.Concurrent;
using System.Globalization;
using System.Net;
using System.Text;
using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Transparency;

namespace Custody.Server.Cosigning;

/// <summary>How it went with one cosigner.</summary>
/// <param name="Name">As the policy names it.</param>
/// <param name="Fault">Why it has not cosigned; null when it has.</param>
/// <param name="IsAlarm">Whether it remembers another tree than ours: a person must look at it at once.</param>
public sealed record CosignerStanding(string Name, string? Fault, bool IsAlarm = false);

/// <summary>A checkpoint with the cosignatures that were gathered.</summary>
public sealed record Gathered(Checkpoint Checkpoint, SignedNote Note, IReadOnlyList<CosignerStanding> Standings, bool HasQuorum);

/// <summary>Gathers cosignatures for this ledger's own checkpoints. Checkpoints are published before they are cosigned, so that a cosigner who is away stops
/// nobody's work; what lacks its quorum is told by <see cref="CosigningStanding"/>. Cosigned notes stand as files beside the log and stay for ever.</summary>
public sealed class Cosigners(
    LedgerPlace place, CosignSettings settings, CosignerKey ownKey, Checkpoints checkpoints, TileFolder tiles, LogKeys keys, Outgoing outgoing, CosigningStanding standing,
    TimeProvider clock)
{
    static readonly TimeSpan FirstPause = TimeSpan.FromSeconds(10), LongestPause = TimeSpan.FromMinutes(10);

    /// <summary>What is known of a cosigner: the size it is believed to have cosigned last, and how it went with it. Lost at a restart: it then tells us.</summary>
    sealed record Known(long Last, int Failures, DateTimeOffset NotBefore, CosignerStanding? Standing);

    readonly ConcurrentDictionary<string, Known> known = new(StringComparer.Ordinal);
    readonly SemaphoreSlim turn = new(1, 1);

    readonly SizedFiles files = new(Path.Combine(place.Folder("log"), "cosigned"));

    /// <summary>The cosigned note of a size; null when nobody has cosigned it.</summary>
    public byte[]? NoteAt(long size) => files.Read(size);

    /// <summary>Sizes that somebody has cosigned, ascending.</summary>
    public IReadOnlyList<long> Sizes() => files.Sizes();

    /// <summary>Whether a size is cosigned as the policy asks, or by anybody where it asks for nobody. Nothing satisfies a policy that cannot be read.</summary>
    public bool HasQuorum(long size)
    {
        try
        {
            return NoteAt(size) is { } note && HasQuorum(SignedNote.Parse(note), settings.Now());
        }
        catch (Malformed)
        {
            return false; // whoever gathers is told what is wrong with the policy
        }
    }

    bool HasQuorum(SignedNote note, CosignPolicy policy) => policy.IsSatisfiedBy(Others(policy).Select(c => c.Key).Where(k => note.Verify(k).Holds));

    // One's own cosigner counts for nothing.
    List<PolicyCosigner> Others(CosignPolicy policy)
    {
        using var own = ownKey.Open();
        byte[][] mine = [keys.Signer.Verifier.PublicKey.ToArray(), own?.Verifier.PublicKey.ToArray() ?? []];
        return [.. policy.Cosigners.Where(c => !mine.Any(k => c.Key.PublicKey.Span.SequenceEqual(k)))];
    }

    /// <summary>Asks the cosigners of the policy, all at once, for their lines under the newest checkpoint.</summary>
    /// <param name="patient">Leaves out for a while those that failed before: the longer, the more often they did.</param>
    /// <param name="anew">Asks also those whose line is there already: what they have seen since is what is wanted.</param>
    /// <returns>Null when there is nobody to ask, or no checkpoint.</returns>
    /// <exception cref="Malformed">The policy cannot be read.</exception>
    public async Task<Gathered?> Gather(CancellationToken ct, bool patient = false, bool anew = false)
    {
        var policy = settings.Now();
        var asked = Others(policy).Where(c => c.Url is not null).ToList();
        if (asked.Count == 0 || checkpoints.NewestFile() is not { } file) return null;
        await turn.WaitAsync(ct);
        try
        {
            var note = SignedNote.Parse(file);
            var checkpoint = Checkpoint.Read(note);
            var now = clock.GetUtcNow();
            var before = SignedNote.Parse(NoteAt(checkpoint.Size) ?? file);
            var due = asked.Where(c => (anew || !before.Verify(c.Key).Holds) && !(patient && Of(c).NotBefore > now));
            await foreach (var answer in Task.WhenEach(due.Select(c => Ask(c, note, checkpoint, ct)).ToList()).WithCancellation(ct))
                // Kept line by line, into what stands there by now: a crash before the next answer, or another process that gathers, loses nothing.
                if ((await answer) is { } line && SignedNote.Parse(NoteAt(checkpoint.Size) ?? file) is var kept && !kept.Signatures.Any(s => s.Name == line.Name && s.KeyId == line.KeyId))
                    Durable.Write(files.PathOf(checkpoint.Size), kept.With(line).ToArray());
            var gathered = SignedNote.Parse(NoteAt(checkpoint.Size) ?? file);
            List<CosignerStanding> standings = [.. asked.Select(c => !anew && gathered.Verify(c.Key).Holds ? new(c.Name, null) : Of(c).Standing ?? new(c.Name, "It has not been asked."))];
            return standing.Latest = new Gathered(checkpoint, gathered, standings, HasQuorum(gathered, policy));
        }
        finally
        {
            turn.Release();
        }
    }

    Known Of(PolicyCosigner cosigner) => known.GetValueOrDefault(cosigner.Key.Text) ?? new(0, 0, DateTimeOffset.MinValue, null);

    async Task<NoteSignature?> Ask(PolicyCosigner cosigner, SignedNote note, Checkpoint checkpoint, CancellationToken ct)
    {
        var before = Of(cosigner);
        var (line, how) = await Answer(cosigner, before.Last, note, checkpoint, ct);
        if (how.Fault is null)
        {
            known[cosigner.Key.Text] = new(checkpoint.Size, 0, DateTimeOffset.MinValue, how);
            return line;
        }
        var pause = how.IsAlarm ? LongestPause : FirstPause * Math.Pow(2, Math.Min(before.Failures, 10));
        known[cosigner.Key.Text] = before with { Failures = before.Failures + 1, NotBefore = clock.GetUtcNow() + (pause < LongestPause ? pause : LongestPause), Standing = how };
        return null;
    }

    async Task<(NoteSignature?, CosignerStanding)> Answer(PolicyCosigner cosigner, long last, SignedNote note, Checkpoint checkpoint, CancellationToken ct)
    {
        try
        {
            var old = Math.Min(last, checkpoint.Size);
            var answer = await Send(cosigner, old, note, checkpoint, ct);
            if (answer.Status == HttpStatusCode.Conflict && SizeIn(answer) is { } theirs && theirs != old)
            {
                if (theirs > checkpoint.Size) return (null, Alarm(cosigner, $"it cosigned a tree of {theirs} leaves; ours has {checkpoint.Size}. This ledger lost its tail, or its key signs elsewhere"));
                answer = await Send(cosigner, old = theirs, note, checkpoint, ct);
            }
            if (answer.Status == HttpStatusCode.OK) return (CosignRules.ReadAnswer(note, answer.Body, [cosigner.Key])[0], new(cosigner.Name, null));
            var isFork = answer.Status == HttpStatusCode.UnprocessableEntity || (answer.Status == HttpStatusCode.Conflict && old == checkpoint.Size && SizeIn(answer) == old);
            return (null, isFork
                ? Alarm(cosigner, "the tree it cosigned last is not the beginning of ours")
                : new(cosigner.Name, string.Create(CultureInfo.InvariantCulture, $"It answered {(int)answer.Status}.")));
        }
        catch (OutsideFault fault)
        {
            return (null, new(cosigner.Name, fault.Message));
        }
        catch (Malformed malformed)
        {
            return (null, new(cosigner.Name, $"Its answer is none: {malformed.Sentence}"));
        }
    }

    static CosignerStanding Alarm(PolicyCosigner cosigner, string why) => new(cosigner.Name, $"It refused: {why}.", IsAlarm: true);

    Task<OutsideAnswer> Send(PolicyCosigner cosigner, long old, SignedNote note, Checkpoint checkpoint, CancellationToken ct)
    {
        var proof = old > 0 && old < checkpoint.Size ? Merkle.ConsistencyProof(old, checkpoint.Size, tiles.Hashes(checkpoint.Size)) : [];
        return outgoing.Post($"{cosigner.Url!.TrimEnd('/')}/add-checkpoint", new AddCheckpoint(old, proof, note).ToArray(), "text/plain", ct);
    }

    static long? SizeIn(OutsideAnswer answer) => answer.Type == AddCheckpoint.SizeType
        && long.TryParse(Encoding.ASCII.GetString(answer.Body).TrimEnd('\n'), NumberStyles.None, CultureInfo.InvariantCulture, out var size) ? size : null;
}

/// <summary>How cosigning stands on this node, for health and for those who ask.</summary>
public sealed class CosigningStanding
{
    public Gathered? Latest { get; set; }

    /// <summary>Why nobody can be asked: a policy or key that cannot be read. Null when it can.</summary>
    public string? Fault { get; set; }

    /// <summary>In a sentence; null when no cosigner was asked from here.</summary>
    public string? Said => Fault ?? (Latest is not { } at ? null : string.Create(CultureInfo.InvariantCulture,
        $"Size {at.Checkpoint.Size} {(at.HasQuorum ? "is cosigned as the policy asks." : "is not cosigned as the policy asks.")}{string.Concat(at.Standings.Where(s => s.Fault is not null).Select(s => $" {s.Name}: {s.Fault}"))}"));
}
