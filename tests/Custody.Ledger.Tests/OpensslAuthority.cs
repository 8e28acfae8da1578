using System.Diagnostics;

namespace Custody.Ledger.Tests;

/// <summary>An authority for time stamps made with openssl: a root, a certificate it signed, and `openssl ts`. It proves nothing to outsiders; it is what
/// nobody here wrote.</summary>
public sealed class OpensslAuthority : IDisposable
{
    readonly DirectoryInfo folder = Directory.CreateTempSubdirectory("custody-tsa-");

    /// <summary>Its certificate is for time stamps alone, and critically so (RFC 3161 section 2.3).</summary>
    public OpensslAuthority()
    {
        Write("ext.cnf", "basicConstraints=critical,CA:FALSE\nkeyUsage=critical,digitalSignature\nextendedKeyUsage=critical,timeStamping\n");
        Write("serial", "01\n");
        Run("req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-nodes", "-keyout", "ca.key", "-out", "ca.pem", "-days", "3650", "-subj", "/CN=Root of Time");
        Run("req", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-nodes", "-keyout", "tsa.key", "-out", "tsa.csr", "-subj", "/CN=Bureau of Time");
        Run("x509", "-req", "-in", "tsa.csr", "-CA", "ca.pem", "-CAkey", "ca.key", "-CAcreateserial", "-out", "tsa.pem", "-extfile", "ext.cnf", "-days", "365");
        Write("tsa.cnf", $"""
            [tsa]
            default_tsa = bureau
            [bureau]
            serial = {At("serial")}
            signer_cert = {At("tsa.pem")}
            certs = {At("ca.pem")}
            signer_key = {At("tsa.key")}
            signer_digest = sha256
            default_policy = 1.2.3.4.1
            other_policies = 1.2.3.4.5
            digests = sha256
            accuracy = secs:1
            ess_cert_id_alg = sha256
            """);
    }

    /// <summary>The root certificate, PEM.</summary>
    public string Root => File.ReadAllText(At("ca.pem"));

    public string RootFile => At("ca.pem");

    /// <summary>The answer to a query (RFC 3161 section 2.4.1).</summary>
    public byte[] Answer(byte[] query)
    {
        File.WriteAllBytes(At("query"), query);
        Run("ts", "-reply", "-config", At("tsa.cnf"), "-queryfile", "query", "-out", "answer");
        return File.ReadAllBytes(At("answer"));
    }

    /// <summary>A stamp over these bytes, asked for and given by openssl alone.</summary>
    public byte[] Stamp(byte[] data)
    {
        File.WriteAllBytes(At("data"), data);
        Run("ts", "-query", "-data", "data", "-sha256", "-cert", "-out", "query");
        return Answer(File.ReadAllBytes(At("query")));
    }

    /// <summary>Whether openssl too says that this stamp is over these bytes.</summary>
    public bool Verifies(byte[] data, byte[] stamp)
    {
        File.WriteAllBytes(At("data"), data);
        File.WriteAllBytes(At("stamp"), stamp);
        return Exit("ts", "-verify", "-data", "data", "-in", "stamp", "-CAfile", "ca.pem") == 0;
    }

    string At(string name) => Path.Combine(folder.FullName, name);

    void Write(string name, string text) => File.WriteAllText(At(name), text);

    void Run(params string[] args)
    {
        if (Exit(args) != 0) throw new InvalidOperationException("openssl " + string.Join(' ', args) + " failed");
    }

    int Exit(params string[] args)
    {
        using var process = Process.Start(new ProcessStartInfo("openssl", args) { WorkingDirectory = folder.FullName, RedirectStandardOutput = true, RedirectStandardError = true })!;
        process.StandardOutput.ReadToEnd();
        process.StandardError.ReadToEnd();
        process.WaitForExit();
        return process.ExitCode;
    }

    public void Dispose() => folder.Delete(recursive: true);
}
