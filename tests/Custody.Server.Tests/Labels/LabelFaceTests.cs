using Custody.Server.Labels;

namespace Custody.Server.Tests.Labels;

public sealed class LabelFaceTests
{
    const string Token = "7ZZZ0123456789ABCDEFGHJKMG";

    [Theory]
    [InlineData("http://CUSTODY.EXAMPLE.ORG/L/" + Token)]
    [InlineData("https://custody.example.org/L/" + Token)]
    [InlineData("https://CUSTODY.EXAMPLE.ORG/L/" + Token + "0")]
    [InlineData("https://CUSTODY.EXAMPLE.ORG/L/7ZZZ0123456789ABCDEFGHJKM")]
    [InlineData("https://CUSTODY.EXAMPLE.ORG/L/7ZZZ0123456789ABCDEFGHJKMH")] // spare bits not zero
    [InlineData("https://CUSTODY.EXAMPLE.ORG/L/7ZZZ0123456789ABCDEFGHJKUG")] // U is no Crockford digit
    [InlineData("https://CUSTODY.EXAMPLE.ORG/L/" + Token + "?a=1")]
    [InlineData("https://CUSTODY.EXAMPLE.ORG/l/" + Token)]
    public void An_address_of_another_form_is_refused(string url) => Assert.Throws<ArgumentException>(() => new LabelFace(url, "B-1", "House", "S-1"));

    [Fact]
    public void The_address_can_be_typed_from_the_label()
    {
        var face = new LabelFace("https://127.0.0.1:5080/L/" + Token, "B-1", "House", "S-1");
        Assert.Equal(("127.0.0.1:5080", "7ZZZ0-12345-6789A-BCDEF-GHJKMG"), (face.Host, face.Token));
        Assert.Equal(Token, face.Token.Replace("-", "", StringComparison.Ordinal));
    }

    [Fact]
    public void A_character_the_lettering_lacks_is_named_in_the_refusal()
    {
        var thrown = Assert.Throws<ArgumentException>(() => new LabelFace("https://CUSTODY.EXAMPLE.ORG/L/" + Token, "B-1", "Дом", "S-1"));
        Assert.Contains("\"Д\"", thrown.Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentException>(() => new LabelFace("https://CUSTODY.EXAMPLE.ORG/L/" + Token, "B-1", " ", "S-1"));
    }
}
