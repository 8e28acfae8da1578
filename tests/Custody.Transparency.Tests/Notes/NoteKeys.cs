namespace Custody.Transparency.Tests;

/// <summary>Keys and notes published with the format, and keys of our own made of fixed seeds.</summary>
static class NoteKeys
{
    // golang.org/x/mod/sumdb/note, package documentation: key, text and signature line
    internal const string PeterSecret = "PRIVATE+KEY+PeterNeumann+c74f20a3+AYEKFALVFGyNhPJEMzD1QIDr+Y7hfZx09iUvxdXHKDFz";
    internal const string Peter = "PeterNeumann+c74f20a3+ARpc2QcUPDhMQegwxbzhKqiBfsVkmqq/LDE4izWy10TW";
    internal const string PeterText = "If you think cryptography is the answer to your problem,\nthen you don't know what your problem is.\n";
    internal const string PeterNote = PeterText + "\n"
        + "\u2014 PeterNeumann x08go/ZJkuBS9UG/SffcvIAQxVBtiFupLLr8pAcElZInNIuGUgYN1FFYC2pZSNXgKvqfqdngotpRZb6KE6RyyBwJnAM=\n";

    // the same package's example of adding a signature; its key is made of 32 zero bytes
    internal const string Enoch = "EnochRoot+af0cfe78+ATtqJ7zOtqQtYqOo0CpvDXNlMhV3HeJDpjrASKGLWdop";
    internal const string EnochLine =
        "\u2014 EnochRoot rwz+eBzmZa0SO3NbfRGzPCpDckykFXSdeX+MNtCOXm2/5n2tiOHp+vAF1aGrQ5ovTG01oOTGwnWLox33WWd1RvMc+QQ=";

    // c2sp.org/signed-note, section "Verifier keys", example
    internal const string Foo = "example.com/foo+530d903a+AekyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3U2k";
    internal const string FooNote = "This is an example message.\n\n"
        + "\u2014 example.com/foo Uw2QOkn8srV1yJGh2VYRlL1Tnagv1YEq6TfXppzi2ONncAlTgK7Ztg1ERYNZXsYjOBH3mFXmRKuwHjG1Yu72IneyaQM=\n";

    internal static SignerKey Signer(string name, byte seed, byte type = VerifierKey.Ed25519) =>
        SignerKey.FromSeed(name, Enumerable.Repeat(seed, 32).ToArray(), type);

    internal static SignedNote Note(string text) => SignedNote.Parse(System.Text.Encoding.UTF8.GetBytes(text));
}
