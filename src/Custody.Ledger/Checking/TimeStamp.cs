using System.Formats.Asn1;
using System.Security.Cryptography;
using System.Security.Cryptography.Pkcs;
using System.Security.Cryptography.X509Certificates;
using System.Text;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>What a time stamp says.</summary>
/// <param name="Time">When the authority saw the bytes; null when the stamp does not hold.</param>
/// <param name="Authority">Subject of the certificate that signed it.</param>
/// <param name="IsTrusted">Whether its certificate leads to a root that the reader gave.</param>
/// <param name="Fault">Why it does not hold, or why the root was not reached; null when it is trusted.</param>
public sealed record StampVerdict(DateTimeOffset? Time, string? Authority, bool IsTrusted, string? Fault)
{
    internal static StampVerdict Broken(string fault) => new(null, null, false, fault);
}

/// <summary>Time stamps over checkpoints (RFC 3161). Reads and verifies what it is given: asks no clock, no network, no store of the machine.</summary>
public static class TimeStamp
{
    /// <summary>Longest stamp that is read, in bytes.</summary>
    public const int MaxBytes = 64 << 10;

    const string TimeStamping = "1.3.6.1.5.5.7.3.8"; // id-kp-timeStamping, RFC 3161 section 2.3

    /// <summary>The bytes that are stamped: note text, empty line, and the ledger's own signature lines, so that cosignatures may come later.</summary>
    /// <param name="checkpoint">The signed checkpoint.</param>
    /// <param name="log">Keys of the ledger.</param>
    public static byte[] Covered(SignedNote checkpoint, IEnumerable<VerifierKey> log)
    {
        var keys = log.ToList();
        var covered = new StringBuilder(checkpoint.Text).Append('\n');
        foreach (var signature in checkpoint.Signatures.Where(s => keys.Exists(k => k.Owns(s)))) covered.Append(signature.Line).Append('\n');
        return Encoding.UTF8.GetBytes(covered.ToString());
    }

    /// <summary>Verifies a stamp.</summary>
    /// <param name="response">A TimeStampResp as the authority sent it (RFC 3161 section 2.4.2).</param>
    /// <param name="covered">What it must stamp.</param>
    /// <param name="roots">Root certificates the reader trusts for time stamps.</param>
    public static StampVerdict Verify(ReadOnlyMemory<byte> response, ReadOnlySpan<byte> covered, IReadOnlyList<X509Certificate2> roots)
    {
        try
        {
            if (TokenIn(response) is not { } token) return StampVerdict.Broken("The file holds no granted time stamp.");
            if (!token.VerifySignatureForData(covered, out var signer)) return StampVerdict.Broken("The time stamp is one of other bytes, or its signature does not fit.");
            return StampsOnly(signer) ? Anchored(token, signer, roots) : StampVerdict.Broken("The time stamp is signed with a certificate that is not for time stamps alone.");
        }
        catch (Exception malformed) when (malformed is CryptographicException or AsnContentException)
        {
            // These are what the platform's reader answers to bytes that are no stamp; what it says is not for people.
            return StampVerdict.Broken("The file cannot be read as a time stamp.");
        }
    }

    // RFC 3161 section 2.3: the extension is critical and names this one use; the platform's reader accepts others beside it.
    static bool StampsOnly(X509Certificate2 signer) => signer.Extensions.OfType<X509EnhancedKeyUsageExtension>().ToList() is
        [{ Critical: true, EnhancedKeyUsages: { Count: 1 } uses }] && uses[0].Value == TimeStamping;

    static StampVerdict Anchored(Rfc3161TimestampToken token, X509Certificate2 signer, IReadOnlyList<X509Certificate2> roots)
    {
        var (time, authority) = (token.TokenInfo.Timestamp, signer.Subject);
        using var chain = new X509Chain();
        var policy = chain.ChainPolicy;
        policy.TrustMode = X509ChainTrustMode.CustomRootTrust;
        policy.CustomTrustStore.AddRange(roots.ToArray());
        // Revocation would ask the network; a reader years later could not. The authority's key counted at the time it stamped.
        policy.RevocationMode = X509RevocationMode.NoCheck;
        policy.DisableCertificateDownloads = true;
        policy.ApplicationPolicy.Add(new Oid(TimeStamping));
        policy.VerificationTime = time.UtcDateTime;
        policy.VerificationTimeIgnored = false;
        policy.ExtraStore.AddRange(token.AsSignedCms().Certificates);
        if (roots.Count > 0 && chain.Build(signer)) return new(time, authority, true, null);
        return new(time, authority, false, roots.Count == 0 ? "Nobody vouched for this authority." : "Its certificate leads to none of the roots given.");
    }

    // TimeStampResp ::= SEQUENCE { status PKIStatusInfo, timeStampToken ContentInfo OPTIONAL }
    static Rfc3161TimestampToken? TokenIn(ReadOnlyMemory<byte> response)
    {
        if (response.Length > MaxBytes) return null;
        var reader = new AsnReader(response, AsnEncodingRules.DER);
        var sequence = reader.ReadSequence();
        reader.ThrowIfNotEmpty();
        // PKIStatus: 0 granted, 1 granted with modifications (RFC 3161 section 2.4.2).
        if (!sequence.ReadSequence().TryReadInt32(out var status) || status is not (0 or 1) || !sequence.HasData) return null;
        var token = sequence.ReadEncodedValue();
        return !sequence.HasData && Rfc3161TimestampToken.TryDecode(token, out var decoded, out var read) && read == token.Length ? decoded : null;
    }
}
