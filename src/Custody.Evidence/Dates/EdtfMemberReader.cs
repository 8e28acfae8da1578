namespace Custody.Evidence;

/// <summary>Reads one member of a set: a date, a range "a..b", or a range without its first or last end.</summary>
static class EdtfMemberReader
{
    public static EdtfRefusal? Read(string text, bool first, bool last, bool oneOf, List<EdtfDate> dates, List<Alternative> alternatives)
    {
        var dots = text.IndexOf("..", StringComparison.Ordinal);
        if (dots < 0)
            return ReadDate(text, oneOf, dates, alternatives);
        var (left, right) = (text[..dots], text[(dots + 2)..]);
        if ((left.Length == 0 && !first) || (right.Length == 0 && !last) || (left.Length == 0 && right.Length == 0))
            return EdtfRefusals.Range("Two dots stand before the first member, after the last, or between two dates.");
        EdtfDate? from = null, to = null;
        if (left.Length > 0 && Limit(left, out from) is { } wrongLeft)
            return wrongLeft;
        if (right.Length > 0 && Limit(right, out to) is { } wrongRight)
            return wrongRight;
        if (from is not null && to is not null && (from.Precision != to.Precision || from.Lo > to.Lo))
            return EdtfRefusals.Range("A range goes from an earlier to a later date of the same precision.");
        dates.AddRange(new[] { from, to }.OfType<EdtfDate>());
        alternatives.Add(Between(from, to, oneOf));
        return null;
    }

    static EdtfRefusal? ReadDate(string text, bool oneOf, List<EdtfDate> dates, List<Alternative> alternatives)
    {
        if (text.Contains('T', StringComparison.Ordinal))
            return EdtfRefusals.Set("The members of a set are dates, without a time of day.");
        if (EdtfDateReader.Read(text, out var date) is { } refusal)
            return refusal;
        dates.Add(date!);
        // Of a masked date one reading is true: among all-of members it stays one member, not one per reading.
        alternatives.AddRange(oneOf ? date!.Runs.Select(r => Alternative.Within(r.Lo, r.Hi)) : [Alternative.Within(date!.Lo, date.Hi)]);
        return null;
    }

    static EdtfRefusal? Limit(string text, out EdtfDate? date)
    {
        if (EdtfDateReader.Read(text, out date) is { } refusal)
            return refusal;
        return date!.Precision == DatePrecision.Season || date.IsMasked
            ? EdtfRefusals.Range("The ends of a range are years, months or days, without unspecified digits.")
            : null;
    }

    // One of 1670..1672 is a day in any of the years; all of 1670..1672 begins in the first and ends in the last.
    static Alternative Between(EdtfDate? from, EdtfDate? to, bool oneOf)
    {
        var lo = from?.Lo ?? Alternative.Past;
        var hi = to?.Hi ?? Alternative.Future;
        return oneOf ? Alternative.Within(lo, hi) : new Alternative(lo, from?.Hi ?? Alternative.Past, to?.Lo ?? Alternative.Future, hi);
    }
}
