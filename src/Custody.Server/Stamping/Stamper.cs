using System.Net;
using System.Security.Cryptography;
using System.Security.Cryptography.Pkcs;
using Custody.Ledger;
using Custody.Server.Cosigning;
using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Transparency;

namespace Custody.Server.Stamping;

/// <summary>A stamp that was kept.</summary>
public sealed record Stamped(long Size, DateTimeOffset Time, string Authority);

/// <summary>Has checkpoints stamped by the authority (RFC 3161, by HTTP as in section 3.4). An answer is verified before it is kept; it stands as a file beside the
/// log and stays for ever.</summary>
public sealed class Stamper(LedgerPlace place, StampSettings settings, Checkpoints checkpoints, LogKeys keys, Outgoing outgoing)
{
    readonly SizedFiles files = new(Path.Combine(place.Folder("log"), "stamps"), ".tsr");

    public byte[]? At(long size) => files.Read(size);

    /// <summary>Sizes that are stamped, ascending.</summary>
    public IReadOnlyList<long> Sizes() => files.Sizes();

    /// <summary>Whether a checkpoint of this size, larger than the last one stamped, should be stamped now.</summary>
    public bool IsDue(long size, DateTimeOffset now) => settings.Address is not null
        && (Sizes() is not [.., var last] || (last < size && now - File.GetLastWriteTimeUtc(files.PathOf(last)) >= settings.Every));

    /// <summary>Has the newest checkpoint stamped, unless it is, or there is no authority.</summary>
    /// <exception cref="OutsideFault">The authority did not answer, refused, or answered with a stamp that does not hold. Nothing was kept.</exception>
    public async Task<Stamped?> Stamp(CancellationToken ct)
    {
        if (settings.Address is not { } address || checkpoints.NewestFile() is not { } file) return null;
        var note = SignedNote.Parse(file);
        var size = Checkpoint.Read(note).Size;
        // A checkpoint of a key that has just been handed on is left to the next one's turn: it would be stamped without its signature line.
        if (At(size) is not null || !note.Verify(keys.Signer.Verifier).Holds) return null;
        var covered = TimeStamp.Covered(note, [keys.Signer.Verifier]);
        // The nonce ties the answer to this request: an old answer played again is refused (section 2.4.1).
        var request = Rfc3161TimestampRequest.CreateFromData(covered, HashAlgorithmName.SHA256, null, RandomNumberGenerator.GetBytes(8), requestSignerCertificates: true);
        var answer = await outgoing.Post(address, request.Encode(), "application/timestamp-query", ct);
        if (answer.Status != HttpStatusCode.OK) throw new OutsideFault($"The authority for time stamps answered {(int)answer.Status}.");
        try
        {
            request.ProcessResponse(answer.Body, out _);
        }
        catch (CryptographicException refused)
        {
            throw new OutsideFault("The authority's answer is not a time stamp for this request.", refused);
        }
        var verdict = TimeStamp.Verify(answer.Body, covered, settings.Roots);
        if (verdict.Time is not { } time || (settings.Roots.Count > 0 && !verdict.IsTrusted))
            throw new OutsideFault($"The authority's time stamp does not hold. {verdict.Fault}");
        Durable.Write(files.PathOf(size), answer.Body);
        return new(size, time, verdict.Authority!);
    }
}
