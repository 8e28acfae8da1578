using System.Text;

namespace Custody.Transparency.Tests;

public class EncodingTests
{
    [Theory] // RFC 4648 section 10, padding left out for base64url
    [InlineData("", "")]
    [InlineData("f", "Zg")]
    [InlineData("fo", "Zm8")]
    [InlineData("foo", "Zm9v")]
    [InlineData("foob", "Zm9vYg")]
    [InlineData("fooba", "Zm9vYmE")]
    [InlineData("foobar", "Zm9vYmFy")]
    public void Base64_of_the_published_words(string plain, string encoded)
    {
        Assert.Equal(encoded, Base64Url.Encode(Encoding.ASCII.GetBytes(plain)));
        Assert.Equal(plain, Encoding.ASCII.GetString(Base64Url.Decode(encoded)));
        var padded = encoded.PadRight((encoded.Length + 3) / 4 * 4, '=');
        Assert.Equal(padded, Base64Std.Encode(Encoding.ASCII.GetBytes(plain)));
        Assert.Equal(plain, Encoding.ASCII.GetString(Base64Std.Decode(padded)));
    }

    [Theory]
    [InlineData("Zg==")] // padding
    [InlineData("Zg=")]
    [InlineData("Zh")] // spare bits
    [InlineData("Zm9")]
    [InlineData("Z")] // six bits are no byte
    [InlineData("Zm9vY")]
    [InlineData(" Zg")] // white space
    [InlineData("Zg\n")]
    [InlineData("Z g")]
    [InlineData("+_8A")] // the other alphabet
    [InlineData("ÿÿÿÿ")]
    public void Base64url_has_one_spelling_only(string text)
    {
        Refused.With("base64url", () => Base64Url.Decode(text));
        Assert.False(Base64Url.TryDecode(text, new byte[16], out _));
    }

    [Theory]
    [InlineData("Zg")] // padding missing
    [InlineData("Zg=")]
    [InlineData("Zg===")]
    [InlineData("Zm9v====")]
    [InlineData("Zh==")] // spare bits
    [InlineData("Zm9=")]
    [InlineData("Zg= =")]
    [InlineData("Zm9v\n")]
    [InlineData("-_8A")] // the other alphabet
    [InlineData("=Zg=")]
    public void Base64_has_one_spelling_only(string text) => Refused.With("base64", () => Base64Std.Decode(text));

    [Fact]
    public void Base64url_of_every_byte_value_reads_back()
    {
        var bytes = Enumerable.Range(0, 256).Select(i => (byte)i).ToArray();
        for (var length = 0; length <= 256; length++)
            Assert.Equal(bytes[..length], Base64Url.Decode(Base64Url.Encode(bytes.AsSpan(0, length))));
    }

    [Theory] // by hand from the definition: groups of five from the left, two zero bits at the end
    [InlineData("00000000000000000000000000000000", "00000000000000000000000000")]
    [InlineData("ffffffffffffffffffffffffffffffff", "ZZZZZZZZZZZZZZZZZZZZZZZZZW")]
    [InlineData("00000000000000000000000000000001", "00000000000000000000000004")]
    [InlineData("80000000000000000000000000000000", "G0000000000000000000000000")]
    [InlineData("08421084210842108421084210842108", "11111111111111111111111110")]
    public void Crockford_groups_bits_from_the_left(string hex, string text)
    {
        Assert.Equal(text, Crockford.Encode(Convert.FromHexString(hex)));
        Assert.Equal(hex, Convert.ToHexStringLower(Crockford.Decode(text)));
    }

    [Theory]
    [InlineData("11111-11111-11111-11111-111110")]
    [InlineData("iIlL1iIlL1iIlL1iIlL1iIlL1o")]
    [InlineData("-1111111111111111111111111O-")]
    public void Crockford_is_read_as_people_type_it(string typed)
    {
        Assert.Equal("11111111111111111111111110", Crockford.Normalise(typed));
        Assert.False(Crockford.IsWritten(typed));
        Assert.True(Crockford.IsWritten(Crockford.Normalise(typed)));
    }

    [Theory]
    [InlineData("ZZZZZZZZZZZZZZZZZZZZZZZZZZ")] // appended bits not zero
    [InlineData("00000000000000000000000001")]
    [InlineData("00000000000000000000000002")]
    [InlineData("0000000000000000000000000")] // 25
    [InlineData("000000000000000000000000000")] // 27
    [InlineData("U0000000000000000000000000")]
    [InlineData("0000000000000000000000000 ")]
    [InlineData("0000000000000000000000000ı")]
    [InlineData("")]
    public void Crockford_refuses_what_it_never_wrote(string text) => Refused.With("crockford", () => Crockford.Decode(text));

    [Fact]
    public void Crockford_reads_back_what_it_wrote()
    {
        var random = new Random(26);
        var bytes = new byte[16];
        for (var i = 0; i < 1000; i++)
        {
            random.NextBytes(bytes);
            var text = Crockford.Encode(bytes);
            Assert.Equal(bytes, Crockford.Decode(text));
            Assert.Equal(bytes, Crockford.Decode(text.ToLowerInvariant()));
        }
    }
}
