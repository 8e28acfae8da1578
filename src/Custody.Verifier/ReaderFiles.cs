using System.Security.Cryptography.X509Certificates;
using Custody.Ledger;
using Custody.Transparency;

namespace Custody.Verifier;

/// <summary>Files that the reader brings besides the dossier. Each is read, or refused in a sentence.</summary>
static class ReaderFiles
{
    const int MaxBytes = 1 << 20;

    /// <summary>A policy file (c2sp.org/tlog-policy).</summary>
    internal static CosignPolicy? Policy(string path, out string fault)
    {
        if (Bytes(path, out fault) is not { } bytes) return null;
        try
        {
            return CosignPolicy.Parse(bytes);
        }
        catch (Malformed malformed)
        {
            fault = $"{path} is not a policy: {malformed.Sentence}";
            return null;
        }
    }

    /// <summary>Certificates, PEM (one or more) or DER (one).</summary>
    internal static IReadOnlyList<X509Certificate2>? Roots(string path, out string fault)
    {
        if (Bytes(path, out fault) is not { } bytes) return null;
        if (TimeRoots.Read(bytes) is { } roots) return roots;
        fault = $"{path} holds no certificate.";
        return null;
    }

    static byte[]? Bytes(string path, out string fault)
    {
        fault = "";
        try
        {
            if (new FileInfo(path) is not { Exists: true, Length: <= MaxBytes }) fault = $"{path} is not there, or too large.";
            else return File.ReadAllBytes(path);
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or ArgumentException or NotSupportedException)
        {
            fault = $"{path} cannot be read: {failure.Message}";
        }
        return null;
    }
}
