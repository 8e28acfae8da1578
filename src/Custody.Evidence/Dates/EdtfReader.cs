namespace Custody.Evidence;

/// <summary>Reads whole EDTF values. Every method answers null and a value, or a refusal.</summary>
static class EdtfReader
{
    public static EdtfRefusal? Read(string? text, out Edtf? value)
    {
        value = null;
        if (EdtfRefusals.OfText(text) is { } refusal)
            return refusal;
        return text![0] is '[' or '{' ? ReadSet(text, out value)
            : text.Contains('/', StringComparison.Ordinal) ? ReadInterval(text, out value)
            : text.Contains('T', StringComparison.Ordinal) ? ReadDateTime(text, out value)
            : ReadSingle(text, out value);
    }

    static EdtfRefusal? ReadSingle(string text, out Edtf? value)
    {
        value = null;
        if (EdtfDateReader.Read(text, out var date) is { } refusal)
            return refusal;
        value = new Edtf(text, EdtfForm.Date, [date!], [.. date!.Runs.Select(r => Alternative.Within(r.Lo, r.Hi))]);
        return null;
    }

    // Level 0, date and time: complete date, letter T, complete time, no zone, Z, or a shift in hours or hours and minutes.
    static EdtfRefusal? ReadDateTime(string text, out Edtf? value)
    {
        value = null;
        var at = text.IndexOf('T', StringComparison.Ordinal);
        if (EdtfDateReader.Read(text[..at], out var date) is { } refusal)
            return refusal;
        if (date!.Precision != DatePrecision.Day || date.IsMasked || date.IsUncertain || date.IsApproximate)
            return EdtfRefusals.TimeNeedsDay(text[..at]);
        if (EdtfTimeReader.Check(text[(at + 1)..]) is { } wrongTime)
            return wrongTime;
        value = new Edtf(text, EdtfForm.DateTime, [date], [Alternative.Within(date.Lo, date.Hi)]);
        return null;
    }

    // Level 0-2, interval: each end a date, ".." (open) or nothing (unknown); at least one end is a date.
    static EdtfRefusal? ReadInterval(string text, out Edtf? value)
    {
        value = null;
        var ends = text.Split('/');
        if (ends.Length != 2)
            return EdtfRefusals.Interval("An interval has exactly one slash.");
        if (!IsDated(ends[0]) && !IsDated(ends[1]))
            return EdtfRefusals.Interval("An interval without a single date says nothing.");
        if (ReadEnd(ends[0], out var from) is { } wrongStart)
            return wrongStart;
        if (ReadEnd(ends[1], out var to) is { } wrongEnd)
            return wrongEnd;
        if (from is not null && to is not null && from.Lo > to.Hi)
            return EdtfRefusals.Backwards(text);
        // Open start: it has always been so. Unknown start: any day up to the end.
        var (startLo, startHi) = from is not null ? (from.Lo, from.Hi) : (Alternative.Past, ends[0].Length == 0 ? to!.Hi : Alternative.Past);
        var (endLo, endHi) = to is not null ? (to.Lo, to.Hi) : (ends[1].Length == 0 ? from!.Lo : Alternative.Future, Alternative.Future);
        value = new Edtf(text, EdtfForm.Interval, [.. new[] { from, to }.OfType<EdtfDate>()],
            [new Alternative(startLo, startHi, endLo, endHi).Tightened()], ends[0].Length == 0, ends[1].Length == 0);
        return null;
    }

    static bool IsDated(string end) => end is not ("" or "..");

    static EdtfRefusal? ReadEnd(string end, out EdtfDate? date)
    {
        date = null;
        if (!IsDated(end))
            return null;
        return end.Contains('T', StringComparison.Ordinal)
            ? EdtfRefusals.Interval("The ends of an interval are dates, without a time of day.")
            : EdtfDateReader.Read(end, out date);
    }

    // Level 2, set representation: [one of] and {all of}, members apart by commas, ranges by "..", also before the first and after the last.
    static EdtfRefusal? ReadSet(string text, out Edtf? value)
    {
        value = null;
        var oneOf = text[0] == '[';
        if (text.Length < 3 || text[^1] != (oneOf ? ']' : '}'))
            return EdtfRefusals.Set("A set has members and ends with the bracket it began with.");
        var members = text[1..^1].Split(',');
        var dates = new List<EdtfDate>();
        var alternatives = new List<Alternative>();
        for (var i = 0; i < members.Length; i++)
        {
            if (EdtfMemberReader.Read(members[i], i == 0, i == members.Length - 1, oneOf, dates, alternatives) is { } refusal)
                return refusal;
        }
        // All of these together: it began in the earliest and ended in the latest.
        value = new Edtf(text, oneOf ? EdtfForm.OneOf : EdtfForm.AllOf, dates, oneOf ? alternatives :
            [new Alternative(alternatives.Min(a => a.StartLo), alternatives.Min(a => a.StartHi),
                alternatives.Max(a => a.EndLo), alternatives.Max(a => a.EndHi))]);
        return null;
    }
}
