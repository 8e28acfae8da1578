using Custody.Server.Habits;

namespace Custody.Server.Tests.Grading;

public class CsvTextTests
{
    static string[] Read(string text, int most = 100) => [.. CsvText.Read(text, most).Records!.Select(r => $"{r.Line}:{string.Join('~', r.Fields)}")];

    [Theory]
    [InlineData("\uFEFFa,b\r\n1,2\r\n", new[] { "1:a~b", "2:1~2" })] // a byte order mark is no part of the first name
    [InlineData("a,b\n\"x\ny\r\nz\",2\n3,4", new[] { "1:a~b", "2:x\ny\r\nz~2", "5:3~4" })]
    [InlineData("\r\n\r\na,b\r\n\r\n1,2\n\n3,4", new[] { "3:a~b", "5:1~2", "7:3~4" })]
    [InlineData("a\n\"x\"\"y\"\n\"\"\"\"", new[] { "1:a", "2:x\"y", "3:\"" })]
    [InlineData(" a , b\r\n1,,\r\n", new[] { "1: a ~ b", "2:1~~" })]
    [InlineData("sep=;\r\na;b\r\n", new[] { "1:sep=;", "2:a;b" })] // nothing is guessed
    [InlineData("#a,b\r\n1,2\r\n", new[] { "1:#a~b", "2:1~2" })]
    public void Records_are_read_as_RFC_4180_has_them(string text, string[] records) => Assert.Equal(records, Read(text));

    [Fact]
    public void A_character_that_must_not_be_recorded_reaches_the_row_that_holds_it() => Assert.Equal(["1:a", "2:x\0y"], Read("a\r\nx\0y\r\n"));

    [Theory]
    [InlineData("a,b\r\n1,\"2\r\n3,4\r\n"), InlineData("a,b\r\n1,\""), InlineData("a,b\r\n1,\"x\"\""), InlineData("a,b\r\n1,x\"y\"\r\n"), InlineData("a,b\r\n1,\"x\"y\r\n")]
    public void A_quote_that_never_closes_or_is_out_of_place_is_told_with_its_line(string text) => Assert.Equal((null, 2L), CsvText.Read(text, 100));

    [Fact]
    public void No_more_is_read_than_was_asked_for() => Assert.Equal(["1:a", "2:b"], Read("a\nb\nc\n\"", most: 2));

    [Theory]
    [InlineData("plain"), InlineData("a,b"), InlineData("say \"x\""), InlineData("two\r\nlines"), InlineData(" spaces "), InlineData("=1+1"), InlineData("é🦊")]
    public void What_is_written_is_read_again_as_it_was(string field) =>
        Assert.Equal(["1:head~two", $"2:{field}~", $"{2 + field.Count(c => c == '\n') + 1}:more~than~two"], Read(CsvText.Write([["head", "two"], [field, ""], ["more", "than", "two"]])));
}
