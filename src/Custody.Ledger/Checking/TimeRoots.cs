using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using System.Text;

namespace Custody.Ledger;

/// <summary>Certificates of authorities for time stamps, from a file that somebody trusts.</summary>
public static class TimeRoots
{
    /// <param name="file">PEM (RFC 7468; one or more) or DER (one).</param>
    /// <returns>Null when the file holds no certificate, or one that cannot be read.</returns>
    public static IReadOnlyList<X509Certificate2>? Read(ReadOnlySpan<byte> file)
    {
        try
        {
            var text = Encoding.Latin1.GetString(file);
            if (!text.Contains("-----BEGIN", StringComparison.Ordinal)) return [X509CertificateLoader.LoadCertificate(file)];
            X509Certificate2Collection read = [];
            read.ImportFromPem(text);
            return read.Count > 0 ? [.. read] : null;
        }
        catch (CryptographicException)
        {
            return null; // that there is none is all that the reader can act on
        }
    }
}
