using System.Text;
using static Custody.Transparency.Tests.NoteKeys;

namespace Custody.Transparency.Tests;

public class SignedNoteTests
{
    [Theory]
    [InlineData(Peter, PeterNote)]
    [InlineData(Foo, FooNote)]
    public void Published_notes_verify_and_write_back(string vkey, string text)
    {
        var note = Note(text);
        var verdict = note.Verify(VerifierKey.Parse(vkey));
        Assert.True(verdict.Holds);
        Assert.Equal([VerifierKey.Parse(vkey)], verdict.Signatures.Select(s => s.Key));
        Assert.Equal(text, Encoding.UTF8.GetString(note.ToArray()));
    }

    [Fact]
    public void The_published_private_key_reproduces_the_published_signature()
    {
        using var peter = SignerKey.Parse(PeterSecret);
        var note = SignedNote.Sign(PeterText, peter);
        Assert.Equal(PeterNote, Encoding.UTF8.GetString(note.ToArray()));
        using var enoch = SignerKey.FromSeed("EnochRoot", new byte[32]);
        Assert.Equal(Enoch, enoch.Verifier.Text);
        Assert.Equal(PeterNote + EnochLine + "\n", Encoding.UTF8.GetString(note.With(enoch.Sign(note.TextBytes)).ToArray()));
    }

    [Fact] // c2sp.org/signed-note, first example: a text that holds an empty line; its key is not published
    public void The_last_empty_line_parts_text_and_signatures()
    {
        const string text = "Ognuno sta solo sul cuor della terra\ntrafitto da un raggio di sole:\n\ned è subito sera.\n";
        const string line = "\u2014 quasimodo.example/salvatore "
            + "NnugSzTjtVAewIS+Z/iJhUPeFDkO/5QQ2i5ddnGITLlC+EhfLW9oJKONrMouFSQU0xMcXxj99ihAQwaqP3ZekRwNtIc=\n";
        var note = Note(text + "\n" + line);
        Assert.Equal(text, note.Text);
        Assert.Equal(("quasimodo.example/salvatore", 0x367ba04bu), (note.Signatures[0].Name, note.Signatures[0].KeyId));
        Assert.Equal("a\n\n", Note("a\n\n\n" + line).Text);
    }

    [Theory]
    [InlineData("note.shape", "")]
    [InlineData("note.shape", "text\n")]
    [InlineData("note.shape", "text\n\n")]
    [InlineData("note.shape", "text\n\n\u2014 a AAAAAAA=")] // no last line feed
    [InlineData("note.shape", "\n\u2014 a AAAAAAA=\n")]
    [InlineData("note.control", "te\rxt\n\n\u2014 a AAAAAAA=\n")]
    [InlineData("note.control", "te\txt\n\n\u2014 a AAAAAAA=\n")]
    [InlineData("note.control", "te\0xt\n\n\u2014 a AAAAAAA=\n")]
    [InlineData("note.signature", "text\n\n- a AAAAAAA=\n")]
    [InlineData("note.signature", "text\n\n\u2014a AAAAAAA=\n")]
    [InlineData("note.signature", "text\n\n\u2014 a b AAAAAAA=\n")]
    [InlineData("note.signature", "text\n\n\u2014  AAAAAAA=\n")]
    [InlineData("note.signature", "text\n\n\u2014 a+b AAAAAAA=\n")]
    [InlineData("note.signature", "text\n\n\u2014 a\u00a0b AAAAAAA=\n")]
    [InlineData("note.signature", "text\n\n\u2014 a AAAAAAB=\n")] // spare bits
    [InlineData("note.signature", "text\n\n\u2014 a AAAAAA==\n")] // an identifier and no signature
    [InlineData("note.signature", "text\n\n\u2014 a AAAAAAA\n")]
    [InlineData("note.signature", "text\n\n\u2014 a AAAAAAA= \n")]
    [InlineData("note.signature", "text\n\n\u2014 a AAAAAAA=\nmore\n")]
    public void What_is_not_a_note_is_refused(string code, string text) => Refused.With(code, () => Note(text));

    [Fact]
    public void Limits_hold_and_leave_room_for_what_the_specification_asks()
    {
        Refused.With("note.utf8", () => SignedNote.Parse([0x61, 0xff, 0x0a, 0x0a, 0x61, 0x0a]));
        Refused.With("note.too-large", () => SignedNote.Parse(new byte[SignedNote.MaxBytes + 1]));
        const string line = "\u2014 a AAAAAAA=\n";
        Assert.Equal(16, Note("t\n\n" + string.Concat(Enumerable.Repeat(line, 16))).Signatures.Count);
        Assert.Equal(128, Note("t\n\n" + string.Concat(Enumerable.Repeat(line, 128))).Signatures.Count);
        Refused.With("note.signatures", () => Note("t\n\n" + string.Concat(Enumerable.Repeat(line, 129))));
    }

    [Theory]
    [InlineData("text")]
    [InlineData("te\txt\n")]
    public void Texts_that_no_note_can_carry_are_not_signed(string text)
    {
        using var signer = Signer("a", 1);
        Refused.With("note.text", () => SignedNote.Sign(text, signer));
        Refused.With("note.text", () => SignedNote.Sign("te\ud800xt\n", signer));
    }

    [Fact]
    public void Unknown_keys_are_ignored_even_under_a_known_name_or_identifier()
    {
        using var ours = Signer("ledger.example", 1);
        using var sameName = Signer("ledger.example", 2);
        var note = SignedNote.Sign("text\n", ours, sameName);
        var sameId = note.With(new NoteSignature("other.example", ours.Verifier.KeyId, new byte[64]));
        Assert.True(sameId.Verify(ours.Verifier).Holds);
        Assert.True(sameId.Verify(ours.Verifier, sameName.Verifier).Holds);
        Assert.False(sameId.Verify(ours.Verifier).SignedBy(sameName.Verifier));
    }

    [Fact]
    public void One_bad_signature_of_a_known_key_condemns_the_note()
    {
        using var ours = Signer("ledger.example", 1);
        using var cosigner = Signer("cosigner.example", 2);
        var note = SignedNote.Sign("text\n", ours).With(cosigner.Sign("other\n"u8));
        Assert.True(note.Verify(ours.Verifier).Holds);
        Assert.Equal("note.bad-signature", note.Verify(ours.Verifier, cosigner.Verifier).Code);
        Assert.Empty(note.Verify(ours.Verifier, cosigner.Verifier).Signatures);
        Assert.Equal("note.bad-signature", note.With(ours.Sign("other\n"u8)).Verify(ours.Verifier).Code);
        var shortened = SignedNote.Sign("text\n", ours).With(new NoteSignature("ledger.example", ours.Verifier.KeyId, new byte[63]));
        Assert.Equal("note.bad-signature", shortened.Verify(ours.Verifier).Code);
    }

    [Fact]
    public void A_note_signed_by_nobody_known_does_not_hold()
    {
        Assert.Equal("note.no-known-signature", Note(PeterNote).Verify(VerifierKey.Parse(Foo)).Code);
        Assert.Equal("note.no-known-signature", Note(PeterNote).Verify().Code);
    }

    [Fact]
    public void A_key_signing_twice_counts_once()
    {
        using var ours = Signer("ledger.example", 1);
        Assert.Single(SignedNote.Sign("text\n", ours, ours).Verify(ours.Verifier).Signatures);
    }

    [Fact]
    public void No_changed_bit_leaves_the_note_standing()
    {
        var key = VerifierKey.Parse(Peter);
        var bytes = Encoding.UTF8.GetBytes(PeterNote);
        for (var bit = 0; bit < bytes.Length * 8; bit++)
        {
            bytes[bit / 8] ^= (byte)(1 << (bit % 8));
            Assert.False(Stands(bytes, key));
            bytes[bit / 8] ^= (byte)(1 << (bit % 8));
        }
        Assert.True(Stands(bytes, key));
    }

    static bool Stands(byte[] bytes, VerifierKey key)
    {
        try
        {
            return SignedNote.Parse(bytes).Verify(key).Holds;
        }
        catch (Malformed)
        {
            return false;
        }
    }
}
