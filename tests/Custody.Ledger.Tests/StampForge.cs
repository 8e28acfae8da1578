using System.Formats.Asn1;
using System.Numerics;
using System.Security.Cryptography;
using System.Security.Cryptography.Pkcs;
using System.Security.Cryptography.X509Certificates;

namespace Custody.Ledger.Tests;

/// <summary>An authority for time stamps that does what no honest program would: stamps with any certificate, at any time (RFC 3161 section 2.4.2, written here
/// from its ASN.1). What openssl makes is tested beside it.</summary>
sealed class StampForge : IDisposable
{
    const string TimeStamping = "1.3.6.1.5.5.7.3.8", TstInfo = "1.2.840.113549.1.9.16.1.4", SigningCertificateV2 = "1.2.840.113549.1.9.16.2.47", Sha256 = "2.16.840.1.101.3.4.2.1";

    static readonly DateTimeOffset From = new(2020, 1, 1, 0, 0, 0, TimeSpan.Zero), To = new(2045, 1, 1, 0, 0, 0, TimeSpan.Zero);

    readonly ECDsa rootKey = ECDsa.Create(ECCurve.NamedCurves.nistP256), key = ECDsa.Create(ECCurve.NamedCurves.nistP256);
    readonly X509Certificate2 certificate;

    /// <param name="uses">Extended key uses of the certificate; null for no such extension. RFC 3161 section 2.3 wants time stamping alone.</param>
    /// <param name="critical">Whether the extension is critical, as the same section wants it.</param>
    /// <param name="until">Last moment of the certificate.</param>
    public StampForge(string[]? uses = null, bool critical = true, DateTimeOffset? until = null, bool withoutUses = false)
    {
        var root = new CertificateRequest("CN=Root of Forged Time", rootKey, HashAlgorithmName.SHA256);
        root.CertificateExtensions.Add(new X509BasicConstraintsExtension(true, false, 0, true));
        Root = root.CreateSelfSigned(From, To);
        var leaf = new CertificateRequest("CN=Bureau of Forged Time", key, HashAlgorithmName.SHA256);
        leaf.CertificateExtensions.Add(new X509BasicConstraintsExtension(false, false, 0, true));
        if (!withoutUses) leaf.CertificateExtensions.Add(new X509EnhancedKeyUsageExtension([.. (uses ?? [TimeStamping]).Select(u => new Oid(u))], critical));
        using var bare = leaf.Create(Root, From, until ?? To, [1, 2, 3, 4]);
        certificate = bare.CopyWithPrivateKey(key);
    }

    public X509Certificate2 Root { get; }

    /// <summary>A granted answer: a stamp over these bytes, of this time.</summary>
    public byte[] Stamp(byte[] data, DateTimeOffset time)
    {
        var cms = new SignedCms(new ContentInfo(new Oid(TstInfo), Info(data, time)));
        var signer = new CmsSigner(SubjectIdentifierType.IssuerAndSerialNumber, certificate) { DigestAlgorithm = new Oid(Sha256), IncludeOption = X509IncludeOption.EndCertOnly };
        signer.SignedAttributes.Add(new AsnEncodedData(new Oid(SigningCertificateV2), Certificate()));
        cms.ComputeSignature(signer);
        var answer = new AsnWriter(AsnEncodingRules.DER);
        using (answer.PushSequence())
        {
            using (answer.PushSequence()) answer.WriteInteger(0);
            answer.WriteEncodedValue(cms.Encode());
        }
        return answer.Encode();
    }

    static byte[] Info(byte[] data, DateTimeOffset time)
    {
        var info = new AsnWriter(AsnEncodingRules.DER);
        using (info.PushSequence())
        {
            info.WriteInteger(1);
            info.WriteObjectIdentifier("1.2.3.4.1");
            using (info.PushSequence())
            {
                using (info.PushSequence()) info.WriteObjectIdentifier(Sha256);
                info.WriteOctetString(SHA256.HashData(data));
            }
            info.WriteInteger(BigInteger.One);
            info.WriteGeneralizedTime(time, omitFractionalSeconds: true);
        }
        return info.Encode();
    }

    // ESSCertIDv2 (RFC 5035 section 4) with SHA-256, its default, so only the hash stands there.
    byte[] Certificate()
    {
        var attribute = new AsnWriter(AsnEncodingRules.DER);
        using (attribute.PushSequence())
        using (attribute.PushSequence())
        using (attribute.PushSequence())
            attribute.WriteOctetString(SHA256.HashData(certificate.RawData));
        return attribute.Encode();
    }

    public void Dispose()
    {
        certificate.Dispose();
        Root.Dispose();
        key.Dispose();
        rootKey.Dispose();
    }
}
