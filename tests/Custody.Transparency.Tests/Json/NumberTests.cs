using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace Custody.Transparency.Tests;

public class NumberTests
{
    static string Written(double value) => Encoding.UTF8.GetString(Jcs.Write(new Json.Num(value)));

    [Theory] // RFC 8785 Appendix B, all 24 rows with a value
    [InlineData(0x0000000000000000, "0")]
    [InlineData(0x8000000000000000, "0")]
    [InlineData(0x0000000000000001, "5e-324")]
    [InlineData(0x8000000000000001, "-5e-324")]
    [InlineData(0x7fefffffffffffff, "1.7976931348623157e+308")]
    [InlineData(0xffefffffffffffff, "-1.7976931348623157e+308")]
    [InlineData(0x4340000000000000, "9007199254740992")]
    [InlineData(0xc340000000000000, "-9007199254740992")]
    [InlineData(0x4430000000000000, "295147905179352830000")]
    [InlineData(0x44b52d02c7e14af5, "9.999999999999997e+22")]
    [InlineData(0x44b52d02c7e14af6, "1e+23")]
    [InlineData(0x44b52d02c7e14af7, "1.0000000000000001e+23")]
    [InlineData(0x444b1ae4d6e2ef4e, "999999999999999700000")]
    [InlineData(0x444b1ae4d6e2ef4f, "999999999999999900000")]
    [InlineData(0x444b1ae4d6e2ef50, "1e+21")]
    [InlineData(0x3eb0c6f7a0b5ed8c, "9.999999999999997e-7")]
    [InlineData(0x3eb0c6f7a0b5ed8d, "0.000001")]
    [InlineData(0x41b3de4355555553, "333333333.3333332")]
    [InlineData(0x41b3de4355555554, "333333333.33333325")]
    [InlineData(0x41b3de4355555555, "333333333.3333333")]
    [InlineData(0x41b3de4355555556, "333333333.3333334")]
    [InlineData(0x41b3de4355555557, "333333333.33333343")]
    [InlineData(0xbecbf647612f3696, "-0.0000033333333333333333")]
    [InlineData(0x43143ff3c1cb0959, "1424953923781206.2")]
    public void Doubles_are_written_as_the_standards_table_says(ulong bits, string expected) =>
        Assert.Equal(expected, Written(BitConverter.UInt64BitsToDouble(bits)));

    [Theory] // the error rows of the same table, and minus infinity
    [InlineData(0x7fffffffffffffff)]
    [InlineData(0x7ff0000000000000)]
    [InlineData(0xfff0000000000000)]
    public void What_is_not_a_number_is_refused(ulong bits) =>
        Refused.With("json.number-range", () => Written(BitConverter.UInt64BitsToDouble(bits)));

    [Theory] // hashes published in cyberphone/json-canonicalization, testdata/README.md, table of expected hashes
    [InlineData(1_000, "be18b62b6f69cdab33a7e0dae0d9cfa869fda80ddc712221570f9f40a5878687")]
    [InlineData(10_000, "b9f7a8e75ef22a835685a52ccba7f7d6bdc99e34b010992cbc5864cd12be6892")]
    [InlineData(100_000, "22776e6d4b49fa294a0d0f349268e5c28808fe7e0cb2bcbe28f63894e494d4c7")]
    public void The_published_sequence_of_doubles_hashes_to_the_published_value(int lines, string sha256)
    {
        var text = new StringBuilder();
        foreach (var value in EcmaNumberSequence.Values().Take(lines))
            text.Append(CultureInfo.InvariantCulture, $"{BitConverter.DoubleToUInt64Bits(value):x},{Written(value)}\n");
        Assert.Equal(sha256, Convert.ToHexStringLower(SHA256.HashData(Encoding.ASCII.GetBytes(text.ToString()))));
    }

    [Theory]
    [InlineData(Jcs.MaxInteger, "9007199254740991")]
    [InlineData(-Jcs.MaxInteger, "-9007199254740991")]
    [InlineData(0L, "0")]
    public void Whole_numbers_are_written_plainly(long value, string expected) =>
        Assert.Equal(expected, Encoding.UTF8.GetString(Jcs.Write(value)));

    [Theory]
    [InlineData(Jcs.MaxInteger + 1)]
    [InlineData(-Jcs.MaxInteger - 1)]
    [InlineData(long.MinValue)]
    public void Whole_numbers_a_double_cannot_keep_are_refused(long value) =>
        Refused.With("json.number-range", () => Jcs.Write(value));

    [Fact]
    public void Numbers_are_written_alike_in_every_culture()
    {
        var before = CultureInfo.CurrentCulture;
        try
        {
            CultureInfo.CurrentCulture = CultureInfo.GetCultureInfo("de-DE");
            Assert.Equal("-1.5", Written(-1.5));
            Assert.Equal("-1.5", Encoding.UTF8.GetString(Jcs.Write(Jcs.Parse("-1.5"u8))));
        }
        finally
        {
            CultureInfo.CurrentCulture = before;
        }
    }
}
