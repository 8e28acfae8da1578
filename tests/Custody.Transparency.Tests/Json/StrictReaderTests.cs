using System.Text;

namespace Custody.Transparency.Tests;

public class StrictReaderTests
{
    static Json Read(string text) => Jcs.Parse(Encoding.UTF8.GetBytes(text));

    [Theory]
    [InlineData("json.duplicate-name", "{\"a\":1,\"a\":1}")]
    [InlineData("json.duplicate-name", "{\"a\":1,\"\\u0061\":2}")]
    [InlineData("json.duplicate-name", "[{\"a\":{\"b\":1,\"c\":2,\"b\":3}}]")]
    [InlineData("json.bom", "\uFEFF{}")]
    [InlineData("json.trailing", "{}{}")]
    [InlineData("json.trailing", "1 2")]
    [InlineData("json.trailing", "01")]
    [InlineData("json.trailing", "{} \0")]
    [InlineData("json.lone-surrogate", "\"\\ud800\"")]
    [InlineData("json.lone-surrogate", "\"\\udc00\"")]
    [InlineData("json.lone-surrogate", "\"\\ud800\\ud800\"")]
    [InlineData("json.lone-surrogate", "\"\\ud800x\"")]
    [InlineData("json.lone-surrogate", "{\"\\ude00\\ud83d\":1}")]
    [InlineData("json.truncated", "")]
    [InlineData("json.truncated", "  ")]
    [InlineData("json.truncated", "{")]
    [InlineData("json.truncated", "{\"a\":")]
    [InlineData("json.truncated", "[1,")]
    [InlineData("json.truncated", "[1")]
    [InlineData("json.truncated", "\"abc")]
    [InlineData("json.truncated", "\"\\")]
    [InlineData("json.truncated", "\"\\u00")]
    [InlineData("json.truncated", "-")]
    [InlineData("json.truncated", "1.")]
    [InlineData("json.truncated", "1e")]
    [InlineData("json.syntax", "{\"a\" 1}")]
    [InlineData("json.syntax", "{a:1}")]
    [InlineData("json.syntax", "{\"a\":1,}")]
    [InlineData("json.syntax", "[1,]")]
    [InlineData("json.syntax", "[1 2]")]
    [InlineData("json.syntax", "[,1]")]
    [InlineData("json.syntax", "nul")]
    [InlineData("json.syntax", "True")]
    [InlineData("json.syntax", "NaN")]
    [InlineData("json.syntax", "Infinity")]
    [InlineData("json.syntax", "+1")]
    [InlineData("json.syntax", ".5")]
    [InlineData("json.syntax", "'a'")]
    [InlineData("json.syntax", "/* */1")]
    [InlineData("json.syntax", "\u00a01")]
    [InlineData("json.number", "-a")]
    [InlineData("json.number", "1.e5")]
    [InlineData("json.number", "1e+x")]
    [InlineData("json.number-range", "1e400")]
    [InlineData("json.number-range", "-1e400")]
    [InlineData("json.control", "\"a\nb\"")]
    [InlineData("json.control", "\"a\\tb\u0001\"")]
    [InlineData("json.escape", "\"\\x41\"")]
    [InlineData("json.escape", "\"\\u00g0\"")]
    [InlineData("json.escape", "\"\\U0041\"")]
    public void What_is_not_one_unambiguous_value_is_refused(string code, string text) => Refused.With(code, () => Read(text));

    [Theory]
    [InlineData("22ff22", 1)] // no such byte
    [InlineData("22c0af22", 1)] // overlong
    [InlineData("22eda08022", 1)] // a surrogate
    [InlineData("22f490808022", 1)] // beyond U+10FFFF
    [InlineData("2261e282", 2)] // cut short
    public void Invalid_utf_8_is_refused_where_it_stands(string hex, int offset) =>
        Assert.Equal(offset, Refused.With("json.utf8", () => Jcs.Parse(Convert.FromHexString(hex))).Offset);

    [Fact]
    public void Depth_counts_open_arrays_and_objects_and_is_bounded()
    {
        var limits = new JsonLimits(1000, 3);
        Assert.NotNull(Jcs.Parse("[{\"a\":[1]}]"u8, limits));
        Assert.NotNull(Jcs.Parse("[[],[],[[]],[{}]]"u8, limits));
        Refused.With("json.too-deep", () => Jcs.Parse("[{\"a\":[[]]}]"u8, limits));
        Refused.With("json.too-deep", () => Jcs.Parse(Encoding.ASCII.GetBytes(new string('[', 1_000_000))));
    }

    [Fact]
    public void Length_is_bounded()
    {
        var limits = new JsonLimits(4, 3);
        Assert.NotNull(Jcs.Parse("1234"u8, limits));
        Refused.With("json.too-large", () => Jcs.Parse("12345"u8, limits));
    }

    [Fact]
    public void A_repeated_name_among_many_is_still_found()
    {
        var names = Enumerable.Range(0, 5000).Append(17).Select(i => $"\"n{i}\":1");
        Refused.With("json.duplicate-name", () => Read("{" + string.Join(',', names) + "}"));
    }

    [Fact]
    public void Values_come_out_as_written()
    {
        var value = (Json.Obj)Read(" {\"t\":\"\\ud83d\\ude00\\u0000/\\/\", \"i\":-12,\"z\":-0,\"e\":1e2,\"d\":0.5,\"n\":null,\"b\":[true,false]} ");
        Assert.Equal("\ud83d\ude00\0//", value.Require<Json.Str>("t").Value);
        Assert.Equal(-12, value.Require<Json.Int>("i").Value);
        Assert.True(double.IsNegative(value.Require<Json.Num>("z").Value));
        Assert.Equal(100.0, value.Require<Json.Num>("e").Value);
        Assert.Equal(0.5, value.Require<Json.Num>("d").Value);
        Assert.Equal(new Json.Arr(true, false), value["b"]);
        Assert.IsType<Json.Null>(value["n"]);
        Assert.Null(value["absent"]);
        Refused.With("json.member", () => value.Require<Json.Int>("t"));
        Refused.With("json.member", () => value.Require<Json.Int>("absent"));
        Assert.Null(value.Optional<Json.Int>("absent"));
    }

    [Fact]
    public void Lone_surrogates_are_refused_when_written()
    {
        Refused.With("json.lone-surrogate", () => Jcs.Write("a\ud800"));
        Refused.With("json.lone-surrogate", () => Jcs.Write("\udc00a"));
        Refused.With("json.lone-surrogate", () => Jcs.Write(new Json.Obj(new Json.Member("\ud800", 1))));
    }

    [Fact]
    public void An_object_never_holds_one_name_twice()
    {
        Assert.Throws<ArgumentException>(() => new ObjBuilder { { "a", 1 }, { "a", 2 } }.Build());
        var obj = new ObjBuilder { { "a", 1 } }.AddIfPresent("b", null).AddIfPresent("c", 2).Build();
        Assert.Equal(["a", "c"], obj.Members.Select(m => m.Name));
        Assert.Equal(obj.With("a", 5).With("d", "x"), new ObjBuilder { { "d", "x" }, { "c", 2 }, { "a", 5 } }.Build());
        Assert.Equal(obj, obj.With("d", 1).Without("d"));
    }
}
