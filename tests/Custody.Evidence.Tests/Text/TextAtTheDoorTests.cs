using Custody.Evidence.Text;

namespace Custody.Evidence.Tests.Text;

public class TextAtTheDoorTests
{
    [Fact]
    public void Normalisation_works_in_this_process() => Assert.True(TextAtTheDoor.NormalisationWorks());

    [Theory]
    [InlineData("", "")]
    [InlineData("plain\ttext\nin lines", "plain\ttext\nin lines")]
    [InlineData("Mu\u0308ller", "M\u00FCller")]
    [InlineData("\u212B", "\u00C5")]
    [InlineData("q\u0307\u0323", "q\u0323\u0307")]
    [InlineData("\U0001F98A", "\U0001F98A")]
    [InlineData("\u05D0\u05D1", "\u05D0\u05D1")] // letters written from right to left are letters
    public void Text_enters_in_form_c(string typed, string kept)
    {
        Assert.True(TextAtTheDoor.Check(typed, 100, out var normalised, out _));
        Assert.Equal(kept, normalised);
    }

    // Code points by number: an editor would not show most of them.
    [Theory]
    [InlineData(0x0000, "text-nul")]
    [InlineData(0x061C, "text-bidi-control")]
    [InlineData(0x200E, "text-bidi-control")]
    [InlineData(0x200F, "text-bidi-control")]
    [InlineData(0x202A, "text-bidi-control")]
    [InlineData(0x202E, "text-bidi-control")]
    [InlineData(0x2066, "text-bidi-control")]
    [InlineData(0x2069, "text-bidi-control")]
    [InlineData(0x200B, "text-zero-width")]
    [InlineData(0x200C, "text-zero-width")]
    [InlineData(0x200D, "text-zero-width")]
    [InlineData(0x2060, "text-zero-width")]
    [InlineData(0x2064, "text-zero-width")]
    [InlineData(0xFEFF, "text-zero-width")]
    [InlineData(0x00AD, "text-zero-width")]
    [InlineData(0xE0041, "text-zero-width")]
    [InlineData(0x0378, "text-unassigned")]
    [InlineData(0x2065, "text-unassigned")]
    [InlineData(0xFFFE, "text-unassigned")]
    [InlineData(0xFFFF, "text-unassigned")]
    [InlineData(0xFDD0, "text-unassigned")]
    [InlineData(0x10FFFF, "text-unassigned")]
    public void A_character_that_readers_cannot_see_or_that_is_none_is_refused(int codePoint, string code)
    {
        foreach (var text in new[] { "{0}", "ab{0}", "{0}ab", "a{0}b" })
        {
            Assert.False(TextAtTheDoor.Check(text.Replace("{0}", char.ConvertFromUtf32(codePoint), StringComparison.Ordinal), 100, out var kept, out var refusal));
            Assert.Null(kept);
            Assert.Equal(code, refusal.Code);
        }
    }

    [Theory]
    [InlineData(""), InlineData(" "), InlineData("\t\r\n"), InlineData("\u00A0\u2003\u3000\u2028"), InlineData("\u3164\u2800 \u0001")]
    public void A_text_that_shows_nothing_is_blank(string text) => Assert.True(TextAtTheDoor.IsBlank(text));

    [Theory]
    [InlineData("."), InlineData(" a "), InlineData("\u2800a"), InlineData("\U0001F98A"), InlineData("\u0301")]
    public void A_text_that_shows_anything_is_not_blank(string text) => Assert.False(TextAtTheDoor.IsBlank(text));

    [Fact]
    public void Half_a_character_is_refused()
    {
        // Not as test data: the runner would mend the halves on their way through UTF-8.
        foreach (var text in new[] { "\uD83E", "\uDD8A", "a\uD83Eb", "a\uDD8A\uD83Eb", "\uD83E\uD83E\uDD8A" })
        {
            Assert.False(TextAtTheDoor.Check(text, 100, out _, out var refusal));
            Assert.Equal("text-lone-surrogate", refusal.Code);
        }
    }

    [Fact]
    public void The_first_fault_in_the_text_is_the_one_named_with_its_position()
    {
        Assert.False(TextAtTheDoor.Check("ab\u202Ec\0", 1, out _, out var refusal));
        Assert.Equal("text-bidi-control", refusal.Code);
        Assert.Contains("position 3", refusal.Sentence, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("abc", 3, true)]
    [InlineData("abcd", 3, false)]
    [InlineData("e\u0301e\u0301e\u0301", 3, true)] // three after composing
    [InlineData("\U0001F98A\U0001F98A\U0001F98A", 3, true)] // three code points, six units
    [InlineData("\U0001D15E", 1, false)] // form C decomposes this one into two
    public void Length_is_counted_in_code_points_after_normalising(string text, int most, bool taken)
    {
        Assert.Equal(taken, TextAtTheDoor.Check(text, most, out _, out var refusal));
        Assert.Equal(taken ? null : "text-too-long", refusal?.Code);
    }
}
