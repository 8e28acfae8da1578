using System.Text;

namespace Custody.Transparency.Tests;

public class JsonPointerTests
{
    // RFC 6901 section 5: document and the values its pointers name
    static readonly Json Document = Jcs.Parse(Encoding.UTF8.GetBytes(
        """{"foo":["bar","baz"],"":0,"a/b":1,"c%d":2,"e^f":3,"g|h":4,"i\\j":5,"k\"l":6," ":7,"m~n":8}"""));

    [Theory]
    [InlineData("/foo", "[\"bar\",\"baz\"]")]
    [InlineData("/foo/0", "\"bar\"")]
    [InlineData("/", "0")]
    [InlineData("/a~1b", "1")]
    [InlineData("/c%d", "2")]
    [InlineData("/e^f", "3")]
    [InlineData("/g|h", "4")]
    [InlineData("/i\\j", "5")]
    [InlineData("/k\"l", "6")]
    [InlineData("/ ", "7")]
    [InlineData("/m~0n", "8")]
    public void Pointers_name_what_the_standard_says(string pointer, string json) =>
        Assert.Equal(json, Encoding.UTF8.GetString(Jcs.Write(JsonPointer.Find(Document, pointer)!)));

    [Fact]
    public void The_empty_pointer_names_the_whole() => Assert.Equal(Document, JsonPointer.Find(Document, ""));

    [Theory]
    [InlineData("/bar")]
    [InlineData("/foo/2")]
    [InlineData("/foo/-")]
    [InlineData("/foo/00")]
    [InlineData("/foo/01")]
    [InlineData("/foo/+1")]
    [InlineData("/foo/99999999999")]
    [InlineData("/foo/0/x")]
    [InlineData("/m~01n")]
    public void What_is_not_there_is_nothing(string pointer) => Assert.Null(JsonPointer.Find(Document, pointer));

    [Theory]
    [InlineData("foo")]
    [InlineData("#/foo")]
    [InlineData("/m~n")]
    [InlineData("/m~")]
    [InlineData("/m~2")]
    public void What_is_no_pointer_is_refused(string pointer) => Refused.With("json-pointer", () => JsonPointer.Find(Document, pointer));

    [Fact]
    public void A_pointer_made_of_names_finds_them()
    {
        var document = new Json.Obj(new Json.Member("a/~b", new Json.Obj(new Json.Member("~1", 5))));
        Assert.Equal(5, JsonPointer.Find(document, JsonPointer.Append(JsonPointer.Append("", "a/~b"), "~1")));
    }
}
