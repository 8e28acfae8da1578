using System.Buffers.Binary;
using System.Text;
using NSec.Cryptography;
using static Custody.Transparency.Tests.NoteKeys;

namespace Custody.Transparency.Tests;

public class CosignatureTests
{
    static readonly Checkpoint Point = new("example.com/behind-the-sofa", 20852163, Hash.ParseStandard("CsUYapGGPo4dkMgIAUqom/Xajj7h2fB2MPA3j2jxq2I="));

    [Fact] // c2sp.org/tlog-cosignature, the message printed there for this checkpoint and time
    public void A_cosignature_signs_two_lines_and_the_whole_text()
    {
        using var cosigner = Signer("witness.example.com/w1", 7, VerifierKey.Cosignature);
        var signature = cosigner.Cosign(Encoding.UTF8.GetBytes(Point.Text), 1679315147).Signature.ToArray();
        Assert.Equal(72, signature.Length);
        Assert.Equal(1679315147, BinaryPrimitives.ReadInt64BigEndian(signature));
        var message = "cosignature/v1\ntime 1679315147\nexample.com/behind-the-sofa\n20852163\nCsUYapGGPo4dkMgIAUqom/Xajj7h2fB2MPA3j2jxq2I=\n";
        var key = PublicKey.Import(SignatureAlgorithm.Ed25519, cosigner.Verifier.PublicKey.Span, KeyBlobFormat.RawPublicKey);
        Assert.True(SignatureAlgorithm.Ed25519.Verify(key, Encoding.ASCII.GetBytes(message), signature.AsSpan(8)));
    }

    [Fact] // the example note of the same page: cosigner and time can be read, its keys are not published
    public void The_published_example_carries_its_time()
    {
        var note = Note(Point.Text + "\n"
            + "\u2014 example.com/behind-the-sofa Az3grlgtzPICa5OS8npVmf1Myq/5IZniMp+ZJurmRDeOoRDe4URYN7u5/Zhcyv2q1gGzGku9nTo+zyWE+xeMcTOAYQ8=\n"
            + "\u2014 witness.example.com/w1 "
            + "jWbPPwAAAABkGFDLEZMHwSRaJNiIDoe9DYn/zXcrtPHeolMI5OWXEhZCB9dlrDJsX3b2oyin1nPZqhf5nNo0xUe+mbIUBkBIfZ+qnA==\n");
        Assert.Equal(Point, Checkpoint.Read(note));
        Assert.Equal(1679315147, BinaryPrimitives.ReadInt64BigEndian(note.Signatures[1].Signature.Span));
    }

    [Fact]
    public void Cosignatures_verify_beside_the_logs_signature_and_state_their_time()
    {
        using var log = Signer(Point.Origin, 1);
        using var cosigner = Signer("cosigner.example", 2, VerifierKey.Cosignature);
        var note = Point.Sign(log);
        note = note.With(cosigner.Cosign(note.TextBytes, 1_900_000_000));
        var verdict = Note(Encoding.UTF8.GetString(note.ToArray())).Verify(log.Verifier, cosigner.Verifier);
        Assert.True(verdict.Holds);
        Assert.Equal([null, 1_900_000_000L], verdict.Signatures.Select(s => s.Time));
    }

    [Fact]
    public void A_cosignature_with_one_thing_wrong_is_refused()
    {
        using var cosigner = Signer("cosigner.example", 2, VerifierKey.Cosignature);
        var text = Encoding.UTF8.GetBytes(Point.Text);
        var right = cosigner.Cosign(text, 1_900_000_000).Signature.ToArray();
        var key = cosigner.Verifier;
        Assert.True(key.Verify(text, right));
        Assert.False(key.Verify("other\n"u8, right));
        Assert.False(key.Verify(text, right.AsSpan(0, 71)));
        Assert.False(key.Verify(text, right.AsSpan(8)));
        right[7] ^= 1; // another time
        Assert.False(key.Verify(text, right));
        right[7] ^= 1;
        right[0] |= 0x80; // beyond 2^63 - 1
        Assert.False(key.Verify(text, right));
    }

    [Fact]
    public void A_time_beyond_what_the_specification_allows_is_refused_even_if_signed()
    {
        using var cosigner = Signer("cosigner.example", 2, VerifierKey.Cosignature);
        using var key = Key.Import(SignatureAlgorithm.Ed25519, Enumerable.Repeat((byte)2, 32).ToArray(), KeyBlobFormat.RawPrivateKey);
        byte[] Signed(string time, byte[] bytes) =>
            [.. bytes, .. SignatureAlgorithm.Ed25519.Sign(key, Encoding.ASCII.GetBytes($"cosignature/v1\ntime {time}\n{Point.Text}"))];
        var text = Encoding.UTF8.GetBytes(Point.Text);
        Assert.True(cosigner.Verifier.Verify(text, Signed("9223372036854775807", [0x7f, 255, 255, 255, 255, 255, 255, 255])));
        Assert.False(cosigner.Verifier.Verify(text, Signed("18446744073709551615", [255, 255, 255, 255, 255, 255, 255, 255])));
        Assert.False(cosigner.Verifier.Verify(text, Signed("-1", [255, 255, 255, 255, 255, 255, 255, 255])));
    }

    [Fact]
    public void One_key_pair_under_both_types_has_two_identifiers_and_no_shared_signatures()
    {
        using var signer = Signer("a.example", 3);
        using var cosigner = Signer("a.example", 3, VerifierKey.Cosignature);
        Assert.NotEqual(signer.Verifier.KeyId, cosigner.Verifier.KeyId);
        Assert.False(cosigner.Verifier.Verify("t\n"u8, signer.Sign("t\n"u8).Signature.Span));
        Assert.Throws<InvalidOperationException>(() => cosigner.Sign("t\n"u8));
        Assert.Throws<InvalidOperationException>(() => signer.Cosign("t\n"u8, 1));
        Assert.Throws<ArgumentOutOfRangeException>(() => cosigner.Cosign("t\n"u8, -1));
    }
}
