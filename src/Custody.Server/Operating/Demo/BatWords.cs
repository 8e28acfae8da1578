using System.Globalization;
using System.Text;
using Custody.Bats;
using Custody.Server.Recording;

namespace Custody.Server.Operating.Demo;

/// <summary>The present state of one bat in words, for a terminal: what the house itself may see, names included.</summary>
sealed class BatWords(Reading reading, string? goesOnAs, DateTimeOffset now)
{
    const int LabelWidth = 22;

    readonly Bat bat = reading.State;
    readonly BatSheet sheet = reading.Sheet();

    public static async Task<BatWords> Of(StreamName bat, Histories histories, DateTimeOffset now, CancellationToken ct)
    {
        var reading = History.Of(await histories.Shown(bat, ct)).AsCorrected();
        var other = reading.State.Identity.Ending?.GoesOn is { } on ? await histories.Open(on.Stream, ct) : [];
        return new(reading, other is [{ Fact: BatRegistered registered }, ..] ? registered.ShortNumber : null, now);
    }

    /// <param name="story">What the bat's story is about.</param>
    /// <param name="width">Columns of the terminal.</param>
    public string Write(string? story, int width)
    {
        var text = new StringBuilder();
        if (story is not null) text.AppendLine(Fitted(story, width, 0));
        text.Append(sheet.ShortNumber).Append("  ").AppendLine(Fitted(sheet.Description ?? "not described", width - 10, 10));
        foreach (var (label, words) in Rows())
            text.Append("    ").Append(label.PadRight(LabelWidth)).AppendLine(Fitted(words, width - LabelWidth - 4, LabelWidth + 4));
        return text.ToString();
    }

    IEnumerable<(string Label, string Words)> Rows()
    {
        if (Ended is { } ended) yield return ("record", ended);
        yield return ("title as asserted", TitleWords);
        yield return ("with", CustodyWords);
        if (sheet.Opinions.Count == 0) yield return ("present opinions", "none");
        for (var i = 0; i < sheet.Opinions.Count; i++) yield return (i == 0 ? "present opinions" : "", Opinion(sheet.Opinions[i]));
        if (sheet.HousesDisagree) yield return ("", "The houses disagree.");
        if (sheet.OpinionsWithdrawn > 0) yield return ("withdrawn opinions", Text(sheet.OpinionsWithdrawn));
        yield return ("holds and claims", Listed(Holds()));
        yield return ("labels in use", Listed(sheet.Labels.Select(l => $"no. {Text(l.Serial)} on a {Split(l.Affixed)}")));
        yield return ("open work", Listed(Work(reading.Work(now))));
    }

    string? Ended => bat switch
    {
        { Registration.Voided: true } => "registration voided",
        { Identity.Ending: { } end } => $"{EndWords(end.Kind)} (entry {Text(end.Entry)}){(goesOnAs is null ? "" : $"; goes on as {goesOnAs}")}",
        _ => Elsewhere.Since(bat) is { } n ? $"goes on in another ledger, {bat.Continuations.ByEntry[n].Other.Ledger} (entry {Text(n)})" : null,
    };

    static string EndWords(EndingKind kind) => kind switch
    {
        EndingKind.SameBat => "the same bat as an older record",
        EndingKind.Joined => "joined into a whole",
        _ => Split(kind),
    };

    string TitleWords => sheet.Title.Holders.Count == 0 ? "not known"
        : string.Join(", ", sheet.Title.Holders.Select(h => Name(h.Who) + (h.Share is { } share && share != Fraction.Whole ? $" {Text(share.Parts)}/{Text(share.Of)}" : "")))
            + (sheet.Title.Standing == TitleStanding.Disputed ? " (disputed)" : "");

    string CustodyWords => sheet.Custody switch
    {
        { Custodian: { } keeper } => Name(keeper),
        { BoundFor: { } bound, Release: { } n } => $"in transit to {Name(bound)} since entry {Text(n)}",
        _ => "not known",
    };

    string Opinion(PresentOpinion opinion)
    {
        var words = opinion.Pairs.GroupBy(p => p.Level)
            .Select(level => $"{Split(level.Key)} ({string.Join(", ", level.Select(p => $"{Support(p.For, p.Word)} against {Split(p.Against)}"))})").ToList();
        if (opinion.Grade is { } grade) words.Add($"use {Split(grade.Use)}, condition {Split(grade.Condition)}");
        if (words.Count == 0) words.Add(bat.Opinions.ByEntry[opinion.Entry].Conclusion is { } conclusion ? Split(conclusion) : "in words only");
        return $"{Name(opinion.House)}{(opinion.Origin == OpinionOrigin.Reported ? " (reported)" : "")}{(opinion.PicturesOnly ? " (from pictures)" : "")}: {string.Join(", ", words)}";
    }

    static string Support(SupportFor side, SupportWord word) => side switch
    {
        SupportFor.Proposition => $"{Split(word)} support",
        SupportFor.Alternative => $"{Split(word)} support for the alternative",
        _ => "neither side",
    };

    IEnumerable<string> Holds() =>
    [
        .. sheet.Holds.Select(h => $"hold on {string.Join(", ", h.Scope.Select(s => Split(s)))} for {Split(h.Ground)} (entry {Text(h.Entry)})"),
        .. sheet.OpenClaims.Select(c => $"an open claim on {Split(c.Kind)} since {Date(c.Since)}"),
        .. sheet.Missing.Select(m => $"reported {Split(m.Kind)} since {Date(m.Since)}"),
    ];

    static IEnumerable<string> Work(OpenWork work) =>
    [
        .. work.Entries.Select(e => $"entry {Text(e.Entry)} ({Split(e.Type)}) to be looked at again since entry {Text(e.Cause)} ({Split(e.CauseType)})"),
        .. work.NotReceived.Select(h => $"released in entry {Text(h.Entry)} and not received for {Text(h.Days)} days"),
        .. work.OverdueLoans.Select(l => $"loan to {Name(l.Borrower)} was due back {l.Due} (entry {Text(l.Entry)})"),
        .. work.HoldsDue.Select(h => $"hold of entry {Text(h.Entry)} to be reviewed since {h.Review}"),
        .. work.Examinations.Select(e => $"examination of entry {Text(e.Entry)} left open by {Name(e.Examiner)}"),
        .. work.Sales.Select(s => $"sale of entry {Text(s.Entry)} waits for {(s.PaidInFull ? "title" : "payment")}"),
        .. work.MixUps.Select(m => $"mix-up of entry {Text(m.Entry)} to be settled"),
    ];

    static string Name(Who who) => who.Name ?? "a name that was erased";

    static string Listed(IEnumerable<string> items) => items.ToList() is { Count: > 0 } list ? string.Join("; ", list) : "none";

    static string Date(DateTimeOffset time) => time.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);

    static string Text(long number) => number.ToString(CultureInfo.InvariantCulture);

    /// <summary>PassTitle: "pass title".</summary>
    static string Split(object word)
    {
        var text = new StringBuilder();
        foreach (var c in word.ToString()!) text.Append(char.IsAsciiLetterUpper(c) && text.Length > 0 ? " " : "").Append(char.ToLowerInvariant(c));
        return text.ToString();
    }

    /// <summary>Broken into lines at blanks; every line but the first is indented.</summary>
    static string Fitted(string words, int width, int indent)
    {
        var text = new StringBuilder();
        var length = 0;
        foreach (var word in words.Split(' '))
        {
            if (length > 0 && length + 1 + word.Length > width)
            {
                text.AppendLine().Append(' ', indent);
                length = 0;
            }
            else if (length > 0)
            {
                text.Append(' ');
                length++;
            }
            text.Append(word);
            length += word.Length;
        }
        return text.ToString();
    }
}
