using System.Text;
using static Custody.Transparency.Tests.NoteKeys;

namespace Custody.Transparency.Tests;

/// <summary>Checkpoints, heads and key rotations: what is written reads back, and each line guards itself.</summary>
public class NoteTextTests
{
    static readonly Hash A = Hash.Of("a"u8);
    static readonly Hash B = Hash.Of("b"u8);
    static readonly string A64 = A.Standard;
    static readonly string E64 = Merkle.EmptyRoot.Standard;

    [Fact] // c2sp.org/tlog-checkpoint, the example
    public void The_published_checkpoint_reads_and_writes_back()
    {
        const string text = "example.com/behind-the-sofa\n20852163\nCsUYapGGPo4dkMgIAUqom/Xajj7h2fB2MPA3j2jxq2I=\n";
        var point = Checkpoint.Read(text);
        Assert.Equal(("example.com/behind-the-sofa", 20852163L), (point.Origin, point.Size));
        Assert.Equal(text, point.Text);
        Assert.Equal(text + "more\n", Checkpoint.Read(text + "more\n").Text);
    }

    public static TheoryData<string> BadCheckpoints => new(
        "",
        "o\n",
        $"o\n1\n{A64}",
        "o\n1\n",
        $"\n1\n{A64}\n",
        $"o\n01\n{A64}\n",
        $"o\n+1\n{A64}\n",
        $"o\n-1\n{A64}\n",
        $"o\n 1\n{A64}\n",
        $"o\n1e3\n{A64}\n",
        $"o\n٣\n{A64}\n",
        $"o\n9223372036854775808\n{A64}\n",
        $"o\n1\n{A.Text}\n",
        $"o\n1\n{A64[..40]}\n",
        $"o\n1\n{A64}\n\n",
        $"o\n1\n{A64}\n\nx\n",
        $"o\n0\n{A64}\n",
        $"o/head\nbat/x\n1\n{A64}\n1\n{A64}\n2031-04-02T09:15:00Z\n");

    [Theory]
    [MemberData(nameof(BadCheckpoints))]
    public void What_is_not_a_checkpoint_is_refused(string text) => Refused.With("checkpoint", () => Checkpoint.Read(text));

    [Fact]
    public void The_empty_tree_has_a_checkpoint() => Assert.Equal(0, Checkpoint.Read($"o\n0\n{E64}\n").Size);

    static readonly Head Seven = new("ledger.example", "bat/0123456789ABCDEFGHJKMNPQR4", 7, A, 900, B, new DateTimeOffset(2031, 4, 2, 9, 15, 0, TimeSpan.Zero));

    [Fact]
    public void A_head_has_the_seven_lines_of_the_format()
    {
        Assert.Equal($"ledger.example/head\nbat/0123456789ABCDEFGHJKMNPQR4\n7\n{A64}\n900\n{B.Standard}\n2031-04-02T09:15:00Z\n", Seven.Text);
        using var signer = Signer("ledger.example", 1);
        Assert.Equal(Seven, Head.Read(Note(Encoding.UTF8.GetString(Seven.Sign(signer).ToArray()))));
    }

    [Theory]
    [InlineData("ledger.example/head", "ledger.example")]
    [InlineData("ledger.example/head", "ledger.example/key")]
    [InlineData("ledger.example/head", "/head")]
    [InlineData("ledger.example/head", "ledger.example/head/head")]
    [InlineData("bat/0123456789ABCDEFGHJKMNPQR4", "0123456789ABCDEFGHJKMNPQR4")]
    [InlineData("bat/0123456789ABCDEFGHJKMNPQR4\n", "")]
    [InlineData("\n7\n", "\n0\n")]
    [InlineData("\n7\n", "\n07\n")]
    [InlineData("\n900\n", "\n6\n")]
    [InlineData("09:15:00Z", "09:15:00+00:00")]
    [InlineData("09:15:00Z", "09:15:00.0Z")]
    [InlineData("09:15:00Z", "24:15:00Z")]
    [InlineData("2031-04-02T", "2031-02-30T")]
    [InlineData("2031-04-02T", "2031-04-02 ")]
    [InlineData("Z\n", "Z\nmore\n")]
    public void A_head_with_one_thing_wrong_is_refused(string from, string to)
    {
        var text = Seven.Text.Replace(from, to, StringComparison.Ordinal);
        Assert.NotEqual(Seven.Text, text);
        Refused.With("head", () => Head.Read(text));
    }

    [Fact]
    public void A_head_that_would_not_read_back_is_not_signed()
    {
        using var signer = Signer("ledger.example", 1);
        Refused.With("head", () => (Seven with { Stream = "a\nb/c" }).Sign(signer));
        Refused.With("head", () => (Seven with { Origin = "ledger.example/key" }).Sign(signer));
    }

    sealed class Keys : IDisposable
    {
        internal readonly SignerKey First = Signer("ledger.example", 1);
        internal readonly SignerKey Second = Signer("ledger.example", 2);
        internal readonly SignerKey Stranger = Signer("ledger.example", 9);

        internal KeyRotation Rotation => new("ledger.example", First.Verifier, Second.Verifier, A, 900, B);

        public void Dispose()
        {
            First.Dispose();
            Second.Dispose();
            Stranger.Dispose();
        }
    }

    [Fact]
    public void A_rotation_is_signed_by_both_keys_and_keeps_its_promise()
    {
        using var keys = new Keys();
        var note = SignedNote.Sign(keys.Rotation.Text, keys.First, keys.Second);
        Assert.Equal(
            $"ledger.example/key\n{keys.First.Verifier}\n{keys.Second.Verifier}\n{A64}\n900\n{B.Standard}\n", note.Text);
        Assert.Equal(keys.Rotation, KeyRotation.Follow(note, keys.First.Verifier, keys.Second.Verifier.Digest));
    }

    [Fact]
    public void A_rotation_with_one_thing_wrong_is_refused()
    {
        using var keys = new Keys();
        var (first, second, promised) = (keys.First, keys.Second, keys.Second.Verifier.Digest);
        void Wrong(string code, KeyRotation rotation, VerifierKey current, Hash promise, params SignerKey[] signers) =>
            Refused.With(code, () => KeyRotation.Follow(SignedNote.Sign(rotation.Text, signers), current, promise));

        Wrong("key-rotation.signature", keys.Rotation, first.Verifier, promised, first);
        Wrong("key-rotation.signature", keys.Rotation, first.Verifier, promised, second);
        Wrong("key-rotation.signature", keys.Rotation, first.Verifier, promised, first, keys.Stranger);
        Wrong("key-rotation.promise", keys.Rotation, first.Verifier, A, first, second);
        Wrong("key-rotation.promise", keys.Rotation with { New = keys.Stranger.Verifier }, first.Verifier, promised, first, keys.Stranger);
        Wrong("key-rotation.keys", keys.Rotation, keys.Stranger.Verifier, promised, first, second);
        Wrong("key-rotation.keys", keys.Rotation with { New = first.Verifier }, first.Verifier, first.Verifier.Digest, first);
        Wrong("key-rotation.keys", keys.Rotation with { Origin = "other.example" }, first.Verifier, promised, first, second);
        Wrong("key-rotation", keys.Rotation with { Origin = "a/head" }, first.Verifier, promised, first, second);
    }

    [Fact]
    public void After_a_compromise_the_promised_key_signs_alone_and_says_so()
    {
        using var keys = new Keys();
        var compromise = keys.Rotation with { Compromised = true };
        var note = SignedNote.Sign(compromise.Text, keys.Second);
        Assert.Equal(compromise, KeyRotation.Follow(note, keys.First.Verifier, keys.Second.Verifier.Digest));
        Assert.EndsWith("\ncompromised\n", note.Text, StringComparison.Ordinal);
        Refused.With("key-rotation", () => KeyRotation.Read(SignedNote.Sign(keys.Rotation.Text + "perhaps\n", keys.Second)));
        Refused.With("key-rotation.signature", () =>
            KeyRotation.Follow(SignedNote.Sign(compromise.Text, keys.First), keys.First.Verifier, keys.Second.Verifier.Digest));
    }
}
