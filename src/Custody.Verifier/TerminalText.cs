using System.Globalization;
using System.Text;

namespace Custody.Verifier;

/// <summary>Text for a terminal. A dossier's words are a stranger's: what could move the cursor, hide or turn round text is shown as a mark.</summary>
static class TerminalText
{
    internal static string Safe(string text)
    {
        var safe = new StringBuilder(text.Length);
        foreach (var rune in text.EnumerateRunes())
        {
            var category = Rune.GetUnicodeCategory(rune);
            var harmful = category is UnicodeCategory.Control or UnicodeCategory.Format or UnicodeCategory.LineSeparator or UnicodeCategory.ParagraphSeparator
                or UnicodeCategory.Surrogate or UnicodeCategory.PrivateUse or UnicodeCategory.OtherNotAssigned;
            if (harmful) safe.Append('\uFFFD');
            else safe.Append(rune.ToString());
        }
        return safe.ToString();
    }

    /// <summary>Lines of at most <paramref name="width"/> characters, broken at spaces; a longer word stays whole.</summary>
    internal static IEnumerable<string> Wrap(string text, int width)
    {
        var line = new StringBuilder();
        foreach (var word in Safe(text).Split(' ', StringSplitOptions.RemoveEmptyEntries))
        {
            if (line.Length > 0 && line.Length + 1 + word.Length > width)
            {
                yield return line.ToString();
                line.Clear();
            }
            if (line.Length > 0) line.Append(' ');
            line.Append(word);
        }
        if (line.Length > 0) yield return line.ToString();
    }
}
