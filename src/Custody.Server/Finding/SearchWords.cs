using System.Globalization;
using System.Text;
using System.Text.RegularExpressions;
using Custody.Server.Private;
using Custody.Transparency;

namespace Custody.Server.Finding;

/// <summary>Turns texts into the words that are searched. Withheld words stand in the index only as keyed tokens, made with the ring's secret outside the
/// database: whoever has the database alone learns no name from it.</summary>
static partial class SearchWords
{
    /// <summary>Words of a text: letters and digits, lower case, without accents, at least two characters.</summary>
    public static IEnumerable<string> Of(string text)
    {
        StringBuilder word = new();
        foreach (var c in text.Normalize(NormalizationForm.FormKD))
        {
            if (CharUnicodeInfo.GetUnicodeCategory(c) == UnicodeCategory.NonSpacingMark) continue;
            if (char.IsLetterOrDigit(c))
            {
                word.Append(char.ToLowerInvariant(c));
                continue;
            }
            if (word.Length > 1) yield return word.ToString();
            word.Clear();
        }
        if (word.Length > 1) yield return word.ToString();
    }

    /// <summary>Words of an open value: an enumerated word or type name such as <c>BatReleased</c> is found whole and by its parts.</summary>
    public static IEnumerable<string> OfOpen(string text) => Of(text).Concat(Of(Parts().Replace(text, " ")));

    [GeneratedRegex("(?<=[a-z])(?=[A-Z])")]
    private static partial Regex Parts();

    public static string OpenToken(string word) => "o" + word;

    public static string KeyedToken(KeyRing keys, string word) => "k" + keys.TokenOf(word);

    /// <summary>The first two characters of a word, the first three, and so on to the whole of it; no more than 24, so that no word fills the index.</summary>
    public static IEnumerable<string> Beginnings(string word) => Enumerable.Range(2, Math.Max(0, Math.Min(word.Length, 24) - 1)).Select(n => word[..n]);

    /// <summary>As the beginnings of names are looked for.</summary>
    public static string BeginningToken(KeyRing keys, string word) => "b" + keys.TokenOf("b\n" + (word.Length > 24 ? word[..24] : word));

    /// <summary>Every text in a JSON value, digests left out.</summary>
    public static IEnumerable<string> TextsIn(Json json) => json switch
    {
        Json.Str text => [text.Value],
        Json.Arr list => list.Items.SelectMany(TextsIn),
        Json.Obj map => map.Members.Where(m => m.Name != "_sd").SelectMany(m => TextsIn(m.Value)),
        _ => [],
    };
}
