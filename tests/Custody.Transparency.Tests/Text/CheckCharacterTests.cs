namespace Custody.Transparency.Tests;

public class CheckCharacterTests
{
    [Theory]
    [InlineData("A12425GABC1234002", 'M')] // the example of the Global Release Identifier standard, A1-2425G-ABC1234002-M
    [InlineData("00000000D07A0090", 'Q')] // ISAN 0000-0000-D07A-0090-Q, example of ISO 15706
    [InlineData("00000000D07A009000000000", 'X')] // the same with version, ISO 15706-2
    [InlineData("000000018CFA0000", 'I')] // ISAN 0000-0001-8CFA-0000-I-0000-0000-K
    [InlineData("000000018CFA000000000000", 'K')]
    public void Published_identifiers_carry_the_computed_character(string text, char check)
    {
        Assert.Equal(check, CheckCharacter.Compute(text));
        Assert.True(CheckCharacter.Verify(text + check));
    }

    [Fact]
    public void Every_single_wrong_character_is_caught()
    {
        const string right = "A12425GABC1234002M";
        const string alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
        for (var at = 0; at < right.Length; at++)
            foreach (var other in alphabet.Where(c => c != right[at]))
                Assert.False(CheckCharacter.Verify(right[..at] + other + right[(at + 1)..]));
    }

    [Theory]
    [InlineData("")]
    [InlineData("a1")]
    [InlineData("A-1")]
    [InlineData("É")]
    public void Other_characters_are_refused(string text)
    {
        Refused.With("check-character.alphabet", () => CheckCharacter.Compute(text));
        Assert.False(CheckCharacter.Verify(text));
    }

    [Fact]
    public void A_check_character_alone_checks_nothing() => Assert.False(CheckCharacter.Verify("1"));
}
