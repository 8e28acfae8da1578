using System.Globalization;
using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Web.Pages;

namespace Custody.Server.Catalogue;

/// <summary>One claim of a text as typed. Which of its fields are asked for, its kind says.</summary>
public sealed class ClaimForm
{
    public string? Claim { get; set; }
    public string? Name { get; set; }
    public string? From { get; set; }
    public string? To { get; set; }
    public string? Level { get; set; }
    public string? Support { get; set; }
    public string? Mark { get; set; }
    public string? Presence { get; set; }
    public string? Source { get; set; }
    public string? When { get; set; }

    public ClaimOf? Kind => Typed.Word<ClaimOf>(Claim);

    /// <summary>The claim as a value. Seasons, numbers and dates that cannot be read are refused, each under its field.</summary>
    internal CatalogueClaim? Read(string at, Action<string, string, string> refuse)
    {
        if (Kind is not { } kind) return null;
        Edtf? when = null;
        if (!string.IsNullOrWhiteSpace(When) && !Edtf.TryParse(When.Trim(), out when, out var unread)) refuse(at + ".When", unread.Sentence, unread.Remedy);
        return new(
            kind, Typed.Text(Name), Season(From, at + ".From", refuse), Season(To, at + ".To", refuse),
            Typed.Word<PropositionLevel>(Level), Typed.Word<SupportWord>(Support), Typed.Word<FindingKind>(Mark), Typed.Word<Presence>(Presence), Typed.Whole(Source), when);
    }

    static int? Season(string? said, string at, Action<string, string, string> refuse)
    {
        if (string.IsNullOrWhiteSpace(said)) return null;
        if (int.TryParse(said.Trim(), NumberStyles.None, CultureInfo.InvariantCulture, out var year) && year is >= 1800 and <= 2200) return year;
        refuse(at, "That is no season.", "Give its year, such as 1951.");
        return null;
    }
}
