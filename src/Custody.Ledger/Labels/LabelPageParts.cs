using System.Globalization;
using Custody.Bats;
using static Custody.Ledger.PlainPage;

namespace Custody.Ledger;

/// <summary>The parts of a label's page that tell of the bat.</summary>
static class LabelPageParts
{
    /// <summary>What to look at, in an order that one can follow with the bat in hand: common practice, and what is recorded of this one.</summary>
    internal static void InHand(PlainPage page, BatInHand bat, IReadOnlySet<PictureHash> pictures)
    {
        page.Heading("Compare the bat in your hand")
            .P("Clean dry hands or gloves, two points of support. Old bats can carry lead paint, splinters, mould or treated tape.", "soft");
        if (bat.Measured is not { } measured)
        {
            page.P("No baseline is recorded: nothing here can tell this bat from another. The label alone is not enough.");
        }
        else
        {
            page.P($"Measured and photographed {LabelStanding.Day(measured)}. Look at these first, they are hardest to imitate: the grain on the barrel end and along the handle, ring by ring; knots and flecks; cracks and dents; the strike of the brand.");
            Views(page, bat, pictures);
            page.Table(["measure", "recorded", "may differ by"], bat.Measures.Select(m => (IReadOnlyList<string>)[m.What, m.Recorded, m.Within]))
                .P("Allowances are common practice for another scale and tape, and moisture as wood takes it in rooms.", "soft");
        }
        if (bat.Marks.Count > 0)
        {
            page.P("Marks that an examiner recorded:")
                .Table(["mark", "where", "noted"], bat.Marks.Select(m => (IReadOnlyList<string>)[m.What, m.Where, m.Note]));
        }
        page.P("If something does not fit, do not pay; tell the house what you see, with photographs.");
    }

    static void Views(PlainPage page, BatInHand bat, IReadOnlySet<PictureHash> pictures)
    {
        var kept = bat.Views.Where(v => pictures.Contains(v.Picture)).ToList();
        if (kept.Count < bat.Views.Count) page.P($"{(bat.Views.Count - kept.Count).ToString(CultureInfo.InvariantCulture)} of its photographs are not kept here now.", "soft");
        if (kept.Count == 0) return;
        page.Raw("<div class=\"views\">\n");
        foreach (var view in kept)
        {
            var words = E(Words.Of(view.View.ToString()));
            page.Raw($"<figure><a href=\"/api/photographs/{E(view.Picture.Text)}\"><img src=\"/api/photographs/{E(view.Picture.Text)}/480\" alt=\"{words} of this bat as photographed\" loading=\"lazy\"></a><figcaption>{words}</figcaption></figure>\n");
        }
        page.Raw("</div>\n");
    }

    internal static void Opinions(PlainPage page, Reading reading)
    {
        page.Heading("Opinions");
        var opinions = reading.Opinions().Opinions;
        if (opinions.Count == 0) page.P("None is recorded.");
        else page.Table(["house", "opinion", "stands"], opinions.Select(o => (IReadOnlyList<string>)[Name(o.House), Said(o), Stands(o)]));
        page.P("An opinion is not a warranty of authorship, value or title.", "soft");
    }

    static string Name(Who who) => who.Name ?? $"{Words.Of(who.Role.ToString())} {who.Alias}, not named here";

    static string Said(OpinionRead opinion)
    {
        List<string> said = [(opinion.Origin == OpinionOrigin.Given ? "Given " : "Reported ") + LabelStanding.Day(opinion.Recorded)];
        said.AddRange(opinion.Pairs.Select(p => $"{Words.Of(p.Level.ToString())} against {Words.Of(p.Against.ToString())}: " + (p.Word == SupportWord.Neither
            ? "supports neither" : $"{Words.Of(p.Word.ToString())} support for {(p.For == SupportFor.Proposition ? "the first" : "the second")}")));
        if (opinion.Conclusion is { } conclusion) said.Add(Words.Of(conclusion.ToString()));
        if (opinion.Grade is { } grade) said.Add($"use {Words.Of(grade.Use.ToString())}, condition {Words.Of(grade.Condition.ToString())}");
        if (opinion.PicturesOnly) said.Add("from pictures only");
        if (opinion.Fee == FeeTerms.Contingent) said.Add("for a fee that depended on the result");
        said.AddRange(opinion.Interests.Select(i => $"interest declared: {Words.Of(i.ToString())}"));
        return string.Join("; ", said) + ".";
    }

    static string Stands(OpinionRead opinion) => opinion.Standing switch
    {
        EntryStanding.Void => "void",
        EntryStanding.Withdrawn => "withdrawn",
        _ when opinion.RevisedBy.Count > 0 => "revised since",
        _ when opinion.IsOpenWork => "something under it fell; not settled",
        _ => opinion.IsPresent ? "present" : opinion.Origin == OpinionOrigin.Reported ? "as reported" : "earlier",
    };

    internal static void Sales(PlainPage page, Reading reading)
    {
        if (reading.Lots().Sales is not { Count: > 0 } sales) return;
        page.Heading("Sales").Table(["sale", "by", "how it stands"], sales.Select(s => (IReadOnlyList<string>)
        [
            $"{Words.Of(s.Channel.ToString())}, recorded {LabelStanding.Day(reading.Entries[(int)s.Entry - 1].Recorded)}", Name(s.SoldBy),
            Words.Of(s.Standing.ToString()) + (s.Hammer is { } hammer ? $"; hammer price of the lot {hammer}" : ""),
        ])).P("Hammer prices stand here where the terms of the sale say so. The price belongs to the lot.", "soft");
    }

    internal static void History(PlainPage page, Reading reading)
    {
        page.Heading("History").P("In the order in which things are said to have happened. Names of people, places, amounts and texts are kept back; what counts against a holder is always here.");
        foreach (var entry in ToldHistory.EntriesOf(reading))
        {
            page.Raw(entry.Void ? "<details class=\"void\">\n" : "<details>\n");
            page.Raw($"<summary>{E(entry.Title)}{(entry.IsReport ? " (a report)" : "")} <time>{E(entry.Occurred?.ToString() ?? (entry.Recorded is { } r ? LabelStanding.Day(r) : ""))}</time></summary>\n<dl>\n");
            foreach (var (name, value) in Told(entry)) page.Raw($"<dt>{E(name)}</dt><dd>{E(value)}</dd>\n");
            page.Raw("</dl>\n</details>\n");
        }
    }

    static IEnumerable<(string Name, string Value)> Told(ToldEntry entry)
    {
        yield return ("entry", string.Create(CultureInfo.InvariantCulture, $"{entry.Line}, recorded {(entry.Recorded is { } r ? EntryText.Write(r) : "at a time not known")} by {entry.By}"));
        if (entry.Void) yield return ("void", "did not happen here, says a later entry");
        else if (entry.CorrectedBy.Count > 0) yield return ("corrected", "told as corrected by a later entry");
        foreach (var (name, value, _) in entry.Said) yield return (name, value);
    }
}
