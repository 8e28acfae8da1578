namespace Custody.Bats;

/// <summary>What offering and offering again have in common.</summary>
static class OfferRules
{
    /// <summary>A lot number as printed: up to six digits, no leading zero, at most one letter (12, 12A). Nothing else may stand open there.</summary>
    public static bool IsLotNumber(string text)
    {
        var digits = text.Length > 0 && text[^1] is >= 'A' and <= 'Z' ? text[..^1] : text;
        return digits.Length is >= 1 and <= 6 && digits[0] != '0' && digits.All(char.IsAsciiDigit);
    }

    public static IEnumerable<Refusal> Check(
        Bat bat, Entry entry, ICited cited, Alias house, Reference terms, string number, int bats, IReadOnlyList<Interest> interests,
        IReadOnlyList<long> grounds)
    {
        foreach (var refusal in bat.RefuseElsewhere()) yield return refusal;
        if (!IsLotNumber(number))
            yield return new("lot-number", "That is not a lot number.", "Use up to six digits and at most one letter, such as 12A.");
        if (bats is < 1 or > 10_000) yield return new("lot-size", "A lot holds at least one bat.", "Say how many bats the lot holds.");
        if (terms.Stream.Kind != "sale" || cited.Find(terms)?.Fact is not ISaleTerms)
            yield return new("no-such-terms", "The lot does not name the terms of a sale.", "Name the entry that announced the sale or changed its terms.");
        if (bat.Lots.Open is { } lot)
            yield return new("already-offered", $"The bat is offered already (entry {lot.Key}).", "Withdraw or pass that lot first.");
        if (bat.Sales.Agreed is { } sale)
            yield return new("already-sold", $"The bat is sold (entry {sale.Key}).", "Let title pass, or cancel the sale first.");
        foreach (var refusal in Who(bat, entry, house)) yield return refusal;
        foreach (var refusal in Declared.Check(bat, house, interests)) yield return refusal;
        foreach (var refusal in Grounds(bat, grounds)) yield return refusal;
        foreach (var refusal in bat.Holds.RefuseUnder(HoldScope.Offer)) yield return refusal;
    }

    // Rule 2: only holders of asserted title, or someone with recorded authority, offer.
    static IEnumerable<Refusal> Who(Bat bat, Entry entry, Alias house)
    {
        var recorded = entry.Envelope.Recorded;
        if (!Mandate.Covers(bat, house, AuthorisedAct.Offer, recorded))
            yield return new("no-mandate", "Whoever offers neither holds the whole title as asserted nor acts for all who do.",
                "Have it consigned, or record the holders' authority.");
        else if (entry.Envelope.By is not { } by || !bat.Authorities.Allow(by, house, AuthorisedAct.Offer, recorded))
            yield return new("not-the-offerer", "Someone else records what the house offers.", "Let the house record it, or record its authority.");
    }

    /// <summary>A text may not rest on what did not happen.</summary>
    public static IEnumerable<Refusal> Grounds(Bat bat, IReadOnlyList<long> grounds) =>
        grounds.Where(bat.Corrections.IsVoid).Take(1).Select(n =>
            new Refusal("rests-on-void", $"Entry {n} did not happen here.", "Leave it out, and let the text rest on what stands."));
}
