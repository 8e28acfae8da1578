using System.Globalization;
using Custody.Bats;

namespace Custody.Ledger;

/// <summary>Everything the page behind a label's address is made of.</summary>
/// <param name="Reading">The bat's history with what is public of it, and nothing else.</param>
/// <param name="Label">Number of the label's <c>LabelIssued</c>.</param>
/// <param name="Token">What stands on the label.</param>
/// <param name="Origin">The ledger's name.</param>
/// <param name="Now">When the page was made.</param>
/// <param name="Pictures">Released pictures that are kept here.</param>
public sealed record LabelView(Reading Reading, long Label, string Token, string Origin, DateTimeOffset Now, IReadOnlySet<PictureHash> Pictures);

/// <summary>The page behind a label's address: read by whoever has the bat before them and a telephone. The house checking itself, and said so.</summary>
public static class LabelPage
{
    /// <summary>What must be said of the page itself.</summary>
    public const string OwnWord = "This is the house checking itself: a dossier, checked with a checker got elsewhere, proves more than this page can. "
        + "Nobody needs an account to read it; it sets no cookie, runs no script, and keeps no count of who looked.";

    /// <param name="compared">What comparing a dossier came to; null when none was given.</param>
    public static string Write(LabelView view, string? compared = null)
    {
        var (reading, sheet) = (view.Reading, view.Reading.Sheet());
        var standing = LabelStanding.Of(reading, view.Label);
        var issued = (LabelIssued)reading.Entries[(int)view.Label - 1].Fact;
        var page = new PlainPage($"Bat {sheet.ShortNumber}", $"{view.Origin} \u00b7 label {issued.Serial.ToString(CultureInfo.InvariantCulture)} \u00b7 {Grouped(view.Token)}");
        if (compared is not null) page.Heading("Your dossier").P(compared);
        page.Stamp(standing.Stamp, standing.InForce && standing.Reports.Count == 0).P(standing.Means);
        foreach (var alert in standing.Reports.Concat(BatAlerts.Of(reading))) page.Alert(alert);
        page.P(LabelStanding.Caution)
            .P(string.Create(CultureInfo.InvariantCulture, $"As the ledger stands at {EntryText.Write(view.Now)}: {sheet.N} entries, the last recorded {LabelStanding.Day(sheet.Recorded)}. Issued {LabelStanding.Day(reading.Entries[(int)view.Label - 1].Recorded)} for a {Words.Of(issued.Affixed.ToString())}."), "soft");
        LabelPageParts.InHand(page, BatInHand.Of(reading), view.Pictures);
        LabelPageParts.Opinions(page, reading);
        LabelPageParts.Sales(page, reading);
        LabelPageParts.History(page, reading);
        Dossier(page, view.Token);
        Holder(page, view.Token);
        Reaches(page);
        return page.Heading("Said wherever it matters").List(Cautions.Said).End();
    }

    /// <summary>The page for a label that this ledger did not issue.</summary>
    public static string Unknown(string token, string origin) => new PlainPage("Not a label of this ledger", $"{origin} \u00b7 {Grouped(token)}")
        .Stamp("not issued here", good: false)
        .P("No label of this ledger bears these characters. That can mean four things.")
        .List([
            "They were misread or mistyped: compare them one by one with the label. I and L are read as 1, O as 0.",
            "The label is another ledger's: look at the address printed beside the code.",
            "The label is so new that it is not published yet: try again in a few minutes.",
            "The label was never issued by anybody: then it proves nothing, whatever it is fixed to.",
        ])
        .P("If the address printed on it is this one and the characters fit, tell the house, with a photograph of the label, before you pay anything.")
        .P(LabelStanding.Caution).P(OwnWord, "soft").End();

    /// <summary>The page for an address that is no label's.</summary>
    public static string Unreadable(string origin) => new PlainPage("This is not what stands on a label", origin)
        .P("A label's address ends in 26 letters and digits, such as 0123 4567 89AB CDEF GHJK MNPQ R8. Small letters and hyphens do not matter; I and L are read as 1, O as 0; there is no U.")
        .P("Scan the code again in better light, or type the characters printed beside it.").P(OwnWord, "soft").End();

    /// <summary>The page for a token that names two entries, which must not happen.</summary>
    public static string Twice(string token, string origin) => new PlainPage("This label names two entries", $"{origin} \u00b7 {Grouped(token)}")
        .Stamp("a fault of the ledger", good: false)
        .P("Two entries of this ledger begin with the characters on this label, so it cannot be said which bat it is for. That must not happen. Do not rely on the label, and tell the house.")
        .P(OwnWord, "soft").End();

    static void Dossier(PlainPage page, string token) => page.Heading("Compare a dossier")
        .P("Were you handed a dossier? It ends with some entry; the ledger may have gone on since. Unpack it and give its file data/head here, or paste that file's text. It is compared and not kept.")
        .Raw($"<form method=\"post\" action=\"/L/{token}/dossier\" enctype=\"multipart/form-data\">\n"
            + "<label for=\"head\">Text of data/head</label><textarea id=\"head\" name=\"head\" rows=\"4\" spellcheck=\"false\"></textarea>\n"
            + "<label for=\"file\">or the file itself</label><input id=\"file\" name=\"file\" type=\"file\">\n<button>Compare</button>\n</form>\n");

    static void Holder(PlainPage page, string token) => page.Heading("Who shows you this bat")
        .P(Cautions.Said[0])
        .P("You can challenge them. Write words that they could not have known before; you get a code, give both to the holder, and the account of whoever holds title here can answer once, within the hour.")
        .Raw($"<form method=\"post\" action=\"/L/{token}/challenge\">\n"
            + string.Create(CultureInfo.InvariantCulture, $"<label for=\"words\">Your words</label><input id=\"words\" name=\"words\" maxlength=\"{HolderChallenge.LongestWords}\" required autocomplete=\"off\">\n")
            + "<button>Make a challenge</button>\n</form>\n")
        .P("The words are not kept, only a digest by which the answer is compared with them.", "soft");

    static void Reaches(PlainPage page) => page.Heading("What this page checks, and what it cannot").P(OwnWord)
        .Raw("<details>\n<summary>The list of checks</summary>\n")
        .Table(["check", "this page", "where it can be had"], CheckList.All.Select(c => (IReadOnlyList<string>)[string.Create(CultureInfo.InvariantCulture, $"{c.Number} {c.Name}"), c.ByLabelPage, c.Elsewhere]))
        .Raw("</details>\n");

    internal static string Grouped(string token) => string.Join('-', token.Chunk(5).Select(c => new string(c)));
}
