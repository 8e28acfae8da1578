using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Text;

namespace Custody.Evidence.Text;

/// <summary>
/// What every typed text passes before it is recorded: brought to Unicode normalisation form C, and refused when it holds something that
/// readers cannot see or that turns what they see around. A history is read by people who cannot ask what was meant.
/// </summary>
public static class TextAtTheDoor
{
    /// <summary>Checks one text.</summary>
    /// <param name="text">As typed.</param>
    /// <param name="maxLength">Most code points after normalisation.</param>
    /// <param name="normalised">The text in form C when taken.</param>
    /// <param name="refusal">
    /// <c>text-nul</c>, <c>text-lone-surrogate</c>, <c>text-unassigned</c>, <c>text-bidi-control</c>, <c>text-zero-width</c> or
    /// <c>text-too-long</c> when not; the first that applies, in the order of the text.
    /// </param>
    public static bool Check(string text, int maxLength, [NotNullWhen(true)] out string? normalised, [NotNullWhen(false)] out EvidenceRefusal? refusal)
    {
        normalised = null;
        // Before normalising: the platform throws on lone surrogates, and no refused character may be composed away.
        refusal = FirstRefusal(text);
        if (refusal is not null)
            return false;
        var composed = text.Normalize(NormalizationForm.FormC);
        if (composed.EnumerateRunes().Count() > maxLength)
        {
            refusal = new("text-too-long", "The text is too long.", string.Create(CultureInfo.InvariantCulture, $"Use at most {maxLength} characters."));
            return false;
        }
        normalised = composed;
        return true;
    }

    /// <summary>
    /// Whether there is nothing in the text that anybody could read: it is empty, or only white space, control characters and the letters and
    /// symbols that are drawn as nothing (Hangul fillers, the blank Braille pattern). Who has to give a reason gives none with it.
    /// </summary>
    public static bool IsBlank(string text)
    {
        foreach (var rune in text.EnumerateRunes())
            if (!IsBlank(rune)) return false;
        return true;
    }

    static bool IsBlank(Rune rune) => rune.Value is 0x115F or 0x1160 or 0x3164 or 0xFFA0 or 0x2800 || Rune.IsWhiteSpace(rune) || Rune.IsControl(rune);

    /// <summary>
    /// Whether this process can normalise at all. Under invariant globalisation the platform hands non-ASCII text back unchanged; a server
    /// that finds this false must not start, or two spellings of one name would enter the ledger for ever.
    /// </summary>
    public static bool NormalisationWorks() =>
        Composes("e\u0301", "\u00E9") && Composes("\u212B", "\u00C5") && Composes("\u1112\u1161\u11AB", "\uD55C") && Composes("q\u0307\u0323", "q\u0323\u0307");

    static bool Composes(string from, string to) => string.Equals(from.Normalize(NormalizationForm.FormC), to, StringComparison.Ordinal);

    static EvidenceRefusal? FirstRefusal(string text)
    {
        for (var i = 0; i < text.Length;)
        {
            if (!Rune.TryGetRuneAt(text, i, out var rune))
                return At("text-lone-surrogate", "half of a character", i);
            if (OfRune(rune, i) is { } refusal)
                return refusal;
            i += rune.Utf16SequenceLength;
        }
        return null;
    }

    static EvidenceRefusal? OfRune(Rune rune, int at) => rune.Value switch
    {
        0 => At("text-nul", "the character U+0000", at),
        // Unicode Standard Annex 9: the explicit directional formatting characters.
        0x061C or 0x200E or 0x200F or (>= 0x202A and <= 0x202E) or (>= 0x2066 and <= 0x2069) =>
            At("text-bidi-control", "a character that turns the direction of reading", at),
        // Format characters without width: zero-width space, joiners, word joiner, invisible operators, byte order mark, tags, and kin.
        0x00AD or 0x180E or (>= 0x200B and <= 0x200D) or (>= 0x2060 and <= 0x2064) or (>= 0x206A and <= 0x206F) or 0xFEFF
            or (>= 0xFFF9 and <= 0xFFFB) or 0xE0001 or (>= 0xE0020 and <= 0xE007F) =>
            At("text-zero-width", "a character nobody can see", at),
        _ => Rune.GetUnicodeCategory(rune) == UnicodeCategory.OtherNotAssigned ? At("text-unassigned", "a code point that is no character", at) : null,
    };

    static EvidenceRefusal At(string code, string what, int at) => new(code,
        string.Create(CultureInfo.InvariantCulture, $"The text holds {what} at position {at + 1}."), "Type the text again without it.");
}
