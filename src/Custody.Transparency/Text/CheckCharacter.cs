using System.Buffers;

namespace Custody.Transparency;

/// <summary>
/// The check character of ISO/IEC 7064 MOD 37,36 (its hybrid system for letters and digits): catches every single wrong character and nearly
/// all swapped neighbours in a number people read aloud. Upper-case letters and digits only.
/// </summary>
public static class CheckCharacter
{
    const string Alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
    const int M = 36;
    static readonly SearchValues<char> Known = SearchValues.Create(Alphabet);

    /// <summary>The character to append.</summary>
    /// <exception cref="Malformed"><c>check-character.alphabet</c>: empty, or a character other than 0-9 and A-Z.</exception>
    public static char Compute(ReadOnlySpan<char> text) => Alphabet[(M + 1 - Product(text)) % M];

    /// <summary>Whether the last character is the right one for those before it. Foreign characters: false.</summary>
    public static bool Verify(ReadOnlySpan<char> text) =>
        text.Length > 1 && !text.ContainsAnyExcept(Known) && Compute(text[..^1]) == text[^1];

    // ISO/IEC 7064, hybrid systems: P starts at M; add the character modulo M (0 counts as M), double modulo M+1.
    static int Product(ReadOnlySpan<char> text)
    {
        if (text.IsEmpty || text.ContainsAnyExcept(Known))
            throw new Malformed("check-character.alphabet", "A check character is defined over digits and upper-case letters only.");
        var p = M;
        foreach (var c in text)
        {
            var s = (p + Alphabet.IndexOf(c, StringComparison.Ordinal)) % M;
            p = (s == 0 ? M : s) * 2 % (M + 1);
        }
        return p;
    }
}
