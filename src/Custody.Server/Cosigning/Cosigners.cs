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
    LedgerPlace place, CosignSettings settings, CosignerKey ownKey, Checkpoints checkpoints, TileFolder tiles, LogKeys keys, Outgoing outgoing, CosigningStanding standing)
{
    /// <summary>Size that each cosigner is believed to have cosigned last. Lost at a restart: it then tells us.</summary>
    readonly ConcurrentDictionary<string, long> last = new(StringComparer.Ordinal);

    string FileOf(long size) => Path.Combine(place.Folder("log"), "cosigned", size.ToString("D12", CultureInfo.InvariantCulture));

    /// <summary>The cosigned note of a size; null when nobody has cosigned it.</summary>
    public byte[]? NoteAt(long size) => File.Exists(FileOf(size)) ? File.ReadAllBytes(FileOf(size)) : null;

    /// <summary>Sizes that somebody has cosigned, ascending.</summary>
    public IReadOnlyList<long> Sizes() => Directory.Exists(Path.GetDirectoryName(FileOf(0)))
        ? [.. Directory.EnumerateFiles(Path.GetDirectoryName(FileOf(0))!).Select(Path.GetFileName).Where(n => n!.All(char.IsAsciiDigit)).Select(n => long.Parse(n!, CultureInfo.InvariantCulture)).Order()]
        : [];

    /// <summary>Asks every cosigner of the policy for its line under the newest checkpoint.</summary>
    /// <returns>Null when there is nobody to ask, or no checkpoint.</returns>
    public async Task<Gathered?> Gather(CancellationToken ct)
    {
        var policy = settings.Now();
        var asked = policy.Cosigners.Where(c => c.Url is not null && !IsOwn(c.Key)).ToList();
        if (asked.Count == 0 || checkpoints.NewestFile() is not { } file) return null;
        var note = SignedNote.Parse(file);
        var checkpoint = Checkpoint.Read(note);
        var gathered = SignedNote.Parse(NoteAt(checkpoint.Size) ?? file);
        List<CosignerStanding> standings = [];
        foreach (var cosigner in asked)
        {
            if (gathered.Verify(cosigner.Key).Holds)
            {
                standings.Add(new(cosigner.Name, null));
                continue;
            }
            var (line, how) = await Ask(cosigner, note, checkpoint, ct);
            standings.Add(how);
            if (line is null) continue;
            gathered = gathered.With(line);
            // Kept line by line: a crash before the next answer loses nothing.
            Durable.Write(FileOf(checkpoint.Size), gathered.ToArray());
        }
        var done = new Gathered(checkpoint, gathered, standings, policy.IsSatisfiedBy(policy.Cosigners.Select(c => c.Key).Where(k => !IsOwn(k) && gathered.Verify(k).Holds)));
        standing.Latest = done;
        return done;
    }

    // One's own cosigner counts for nothing.
    bool IsOwn(VerifierKey key)
    {
        if (key.PublicKey.Span.SequenceEqual(keys.Signer.Verifier.PublicKey.Span)) return true;
        using var own = ownKey.Open();
        return own is not null && own.Verifier.PublicKey.Span.SequenceEqual(key.PublicKey.Span);
    }

    async Task<(NoteSignature?, CosignerStanding)> Ask(PolicyCosigner cosigner, SignedNote note, Checkpoint checkpoint, CancellationToken ct)
    {
        try
        {
            var old = last.GetValueOrDefault(cosigner.Key.Text);
            var answer = await Send(cosigner, old, note, checkpoint, ct);
            if (answer.Status == HttpStatusCode.Conflict && SizeIn(answer) is { } theirs && theirs != old)
            {
                if (theirs > checkpoint.Size) return (null, Alarm(cosigner, $"it cosigned a tree of {theirs} leaves; ours has {checkpoint.Size}. This ledger lost its tail, or its key signs elsewhere"));
                answer = await Send(cosigner, theirs, note, checkpoint, ct);
            }
            if (answer.Status == HttpStatusCode.OK)
            {
                var line = CosignRules.ReadAnswer(note, answer.Body, [cosigner.Key])[0];
                last[cosigner.Key.Text] = checkpoint.Size;
                return (line, new(cosigner.Name, null));
            }
            return (null, answer.Status is HttpStatusCode.Conflict or HttpStatusCode.UnprocessableEntity
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
}
