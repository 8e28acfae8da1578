namespace Custody.Transparency.Tests;

public class KeyTests
{
    [Theory]
    [InlineData(NoteKeys.Peter, 0x01)]
    [InlineData(NoteKeys.Enoch, 0x01)]
    [InlineData(NoteKeys.Foo, 0x01)]
    [InlineData("remora.n621.de+da77ade7+BOvN63jn/bLvkieywe8R6UYAtVtNbZpXh34x7onlmtw2", 0x04)] // transparency-dev/formats, cosigner key
    public void Published_keys_read_and_write_back(string text, byte type)
    {
        var key = VerifierKey.Parse(text);
        Assert.Equal(text, key.Text);
        Assert.Equal(type, key.Type);
        Assert.Equal(key, VerifierKey.From(key.Name, type, key.PublicKey.Span));
        Assert.Equal(Hash.Of(System.Text.Encoding.ASCII.GetBytes(text)), key.Digest);
    }

    [Theory]
    [InlineData("vkey", "PeterNeumann+cc469956+ARpc2QcUPDhMQegwxbzhKqiBfsVkmqq/LDE4izWy10TWBADKEY==")] // Go's tests: wrong length, spare bits too
    [InlineData("vkey.type", "PeterNeumann+173116ae+ZRpc2QcUPDhMQegwxbzhKqiBfsVkmqq/LDE4izWy10TW")] // Go's tests: unknown type, id right
    [InlineData("vkey.id", "PeterNeumann+C74F20A3+ARpc2QcUPDhMQegwxbzhKqiBfsVkmqq/LDE4izWy10TW")]
    [InlineData("vkey.id", "PeterNeumann+c74f20a4+ARpc2QcUPDhMQegwxbzhKqiBfsVkmqq/LDE4izWy10TW")]
    [InlineData("vkey.key", "PeterNeumann+c74f20a3+ARpc2QcUPDhMQegwxbzhKqiBfsVkmqq/LDE4izWy10TWAAAA")]
    [InlineData("vkey.name", "Peter Neumann+c74f20a3+ARpc2QcUPDhMQegwxbzhKqiBfsVkmqq/LDE4izWy10TW")]
    [InlineData("vkey.name", "+c74f20a3+ARpc2QcUPDhMQegwxbzhKqiBfsVkmqq/LDE4izWy10TW")]
    [InlineData("vkey", "bananas.example+12344556")]
    [InlineData("vkey", "")]
    public void Keys_with_one_thing_wrong_are_refused(string code, string text) =>
        Refused.With(code, () => VerifierKey.Parse(text));

    [Fact]
    public void No_part_and_no_neighbour_of_a_key_is_a_key() // the way Go's tests of the package go about it
    {
        Assert.All(Mangled(NoteKeys.Peter), text => Assert.Throws<Malformed>(() => VerifierKey.Parse(text)));
        Assert.All(Mangled(NoteKeys.PeterSecret), text => Assert.Throws<Malformed>(() => SignerKey.Parse(text)));
    }

    static IEnumerable<string> Mangled(string key)
    {
        for (var from = 0; from < key.Length; from++)
            for (var to = from + 1; to <= key.Length; to++)
                if (to - from < key.Length) yield return key[from..to];
        for (var at = 0; at < key.Length; at++)
            yield return string.Concat(key.AsSpan(0, at), ((char)(key[at] + 1)).ToString(), key.AsSpan(at + 1));
    }

    [Fact]
    public void Private_keys_read_and_write_back()
    {
        using var signer = SignerKey.Parse(NoteKeys.PeterSecret);
        Assert.Equal(NoteKeys.PeterSecret, signer.SecretText());
        Assert.Equal(NoteKeys.Peter, signer.Verifier.Text);
        Refused.With("skey.seed", () => SignerKey.FromSeed("name", new byte[31]));
        Refused.With("vkey.name", () => SignerKey.FromSeed("a+b", new byte[32]));
    }

    [Theory]
    [InlineData("a b")]
    [InlineData("a\u00a0b")]
    [InlineData("a\u2028b")]
    [InlineData("a\u3000b")]
    [InlineData("a+b")]
    [InlineData("a\nb")]
    [InlineData("a\u0000b")]
    [InlineData("a\u007fb")]
    [InlineData("")]
    public void Names_a_note_cannot_carry_are_refused(string name)
    {
        Refused.With("vkey.name", () => VerifierKey.From(name, VerifierKey.Ed25519, new byte[32]));
        Assert.False(Origin.IsValid(name));
    }

    [Fact]
    public void A_name_holding_half_a_surrogate_pair_is_refused()
    {
        Refused.With("vkey.name", () => VerifierKey.From("a\ud800b", VerifierKey.Ed25519, new byte[32]));
        Refused.With("vkey.name", () => VerifierKey.From("a\udc00", VerifierKey.Ed25519, new byte[32]));
        Assert.True(Origin.IsValid("a\ud83d\ude00"));
    }

    [Fact]
    public void An_origin_never_ends_in_the_path_parts_of_other_notes()
    {
        Assert.True(Origin.IsValid("ledger.example/bats"));
        Assert.True(Origin.IsValid("ledger.example/headless"));
        Assert.False(Origin.IsValid("ledger.example/head"));
        Assert.False(Origin.IsValid("ledger.example/bats/key"));
    }
}
