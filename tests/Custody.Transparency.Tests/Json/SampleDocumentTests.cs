using System.Text;

namespace Custody.Transparency.Tests;

/// <summary>Sample documents published with RFC 8785 and, where named, in cyberphone/json-canonicalization testdata.</summary>
public class SampleDocumentTests
{
    static string Canonical(string text) => Encoding.UTF8.GetString(Jcs.Write(Jcs.Parse(Encoding.UTF8.GetBytes(text))));

    [Fact]
    public void The_sample_of_section_3_2_2_gives_the_bytes_of_section_3_2_4()
    {
        const string input = """
            {
              "numbers": [333333333.33333329, 1E30, 4.50,
                          2e-3, 0.000000000000000000000000001],
              "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
              "literals": [null, true, false]
            }
            """;
        // RFC 8785 section 3.2.4, the hexadecimal listing
        const string bytes = """
            7b 22 6c 69 74 65 72 61 6c 73 22 3a 5b 6e 75 6c 6c 2c 74 72
            75 65 2c 66 61 6c 73 65 5d 2c 22 6e 75 6d 62 65 72 73 22 3a
            5b 33 33 33 33 33 33 33 33 33 2e 33 33 33 33 33 33 33 2c 31
            65 2b 33 30 2c 34 2e 35 2c 30 2e 30 30 32 2c 31 65 2d 32 37
            5d 2c 22 73 74 72 69 6e 67 22 3a 22 e2 82 ac 24 5c 75 30 30
            30 66 5c 6e 41 27 42 5c 22 5c 5c 5c 5c 5c 22 2f 22 7d
            """;
        var expected = Convert.FromHexString(bytes.Replace(" ", "", StringComparison.Ordinal).ReplaceLineEndings(""));
        Assert.Equal(expected, Jcs.Write(Jcs.Parse(Encoding.UTF8.GetBytes(input))));
    }

    [Fact]
    public void Names_sort_by_utf_16_code_units_as_section_3_2_3_shows()
    {
        const string input = """
            {
              "\u20ac": "Euro Sign",
              "\r": "Carriage Return",
              "\ufb33": "Hebrew Letter Dalet With Dagesh",
              "1": "One",
              "\ud83d\ude00": "Emoji: Grinning Face",
              "\u0080": "Control",
              "\u00f6": "Latin Small Letter O With Diaeresis"
            }
            """;
        var written = (Json.Obj)Jcs.Parse(Encoding.UTF8.GetBytes(Canonical(input)));
        Assert.Equal(
            ["Carriage Return", "One", "Control", "Latin Small Letter O With Diaeresis", "Euro Sign", "Emoji: Grinning Face",
                "Hebrew Letter Dalet With Dagesh"],
            written.Members.Select(m => ((Json.Str)m.Value).Value));
    }

    [Theory] // testdata: arrays, french, structures, unicode, weird
    [InlineData("""[ 56, { "d": true, "10": null, "1": [ ] } ]""", """[56,{"1":[],"10":null,"d":true}]""")]
    [InlineData(
        """{ "peach": "This sorting order", "péché": "is wrong according to French", "pêche": "but canonicalization MUST", "sin": "ignore locale" }""",
        """{"peach":"This sorting order","péché":"is wrong according to French","pêche":"but canonicalization MUST","sin":"ignore locale"}""")]
    [InlineData(
        """{ "1": {"f": {"f": "hi","F": 5} ,"\n": 56.0}, "10": { }, "": "empty", "a": { }, "111": [ {"e": "yes","E": "no" } ], "A": { } }""",
        """{"":"empty","1":{"\n":56,"f":{"F":5,"f":"hi"}},"10":{},"111":[{"E":"no","e":"yes"}],"A":{},"a":{}}""")]
    [InlineData("""{ "Unnormalized Unicode":"A\u030a" }""", "{\"Unnormalized Unicode\":\"A\u030a\"}")]
    [InlineData(
        """
        { "\u20ac": "Euro Sign", "\r": "Carriage Return", "\u000a": "Newline", "1": "One", "\u0080": "Control\u007f",
          "\ud83d\ude02": "Smiley", "\u00f6": "Latin Small Letter O With Diaeresis", "\ufb33": "Hebrew Letter Dalet With Dagesh",
          "</script>": "Browser Challenge" }
        """,
        "{\"\\n\":\"Newline\",\"\\r\":\"Carriage Return\",\"1\":\"One\",\"</script>\":\"Browser Challenge\",\"\u0080\":\"Control\u007f\","
            + "\"\u00f6\":\"Latin Small Letter O With Diaeresis\",\"\u20ac\":\"Euro Sign\",\"\ud83d\ude02\":\"Smiley\","
            + "\"\ufb33\":\"Hebrew Letter Dalet With Dagesh\"}")]
    public void Published_documents_come_out_as_published(string input, string expected) => Assert.Equal(expected, Canonical(input));

    [Fact]
    public void Every_control_character_has_its_one_escape()
    {
        // RFC 8785 section 3.2.2.2
        var written = Encoding.UTF8.GetString(Jcs.Write(new string([.. Enumerable.Range(0, 0x20).Select(c => (char)c)])));
        Assert.Equal(
            @"""\u0000\u0001\u0002\u0003\u0004\u0005\u0006\u0007\b\t\n\u000b\f\r\u000e\u000f"
                + @"\u0010\u0011\u0012\u0013\u0014\u0015\u0016\u0017\u0018\u0019\u001a\u001b\u001c\u001d\u001e\u001f""",
            written);
    }

    [Theory]
    [InlineData("{\"a\":1,\"b\":2}", true)]
    [InlineData("{\"b\":2,\"a\":1}", false)]
    [InlineData("{\"a\": 1}", false)]
    [InlineData("{\"a\":1.0}", false)]
    [InlineData("{\"a\":-0}", false)]
    [InlineData("\"\\u0041\"", false)]
    [InlineData("\"\\/\"", false)]
    [InlineData("9007199254740993", false)]
    [InlineData("{\"a\":1}\n", false)]
    [InlineData("{\"a\":1", false)]
    public void Only_the_canonical_spelling_is_canonical(string text, bool canonical) =>
        Assert.Equal(canonical, Jcs.IsCanonical(Encoding.UTF8.GetBytes(text)));

    [Fact]
    public void What_is_not_canonical_is_told_where() =>
        Assert.Equal(6, Refused.With("json.not-canonical", () => Jcs.ParseCanonical("{\"a\":1 }"u8)).Offset);
}
