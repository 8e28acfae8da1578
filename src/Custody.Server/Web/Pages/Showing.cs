using System.Globalization;
using Custody.Bats;
using Custody.Evidence;

namespace Custody.Server.Web.Pages;

/// <summary>Dates, units and money as this reader writes them. Stored and sent values stay as they are; nothing else in the program follows a reader's language.</summary>
public sealed class Showing
{
    readonly CultureInfo culture;

    public Showing(IHttpContextAccessor http) : this(Best(http.HttpContext?.Request.Headers.AcceptLanguage.ToString()))
    {
    }

    internal Showing(CultureInfo culture) => this.culture = culture;

    /// <summary>The reader's first language that is known here; otherwise days in the order that nobody misreads.</summary>
    static CultureInfo Best(string? accepted)
    {
        foreach (var said in (accepted ?? "").Split(',', StringSplitOptions.TrimEntries).Select(l => l.Split(';')[0]).Where(l => l.Length is > 1 and < 20).Take(8))
        {
            try
            {
                var found = (CultureInfo)CultureInfo.CreateSpecificCulture(said).Clone();
                // Dates of the ledger are Gregorian, whatever calendar the reader's country uses beside it.
                if (found.DateTimeFormat.Calendar is not GregorianCalendar) continue;
                return found;
            }
            catch (CultureNotFoundException)
            {
                // A language that this machine does not know: the reader's next one.
            }
        }
        return CultureInfo.GetCultureInfo("en-GB");
    }

    /// <summary>A day: 3 May 1961, in the reader's own order. Months are words, so that day and month are never taken for each other; words of the page's language.</summary>
    public string Day(DateTimeOffset time) => Day(DateOnly.FromDateTime(time.UtcDateTime));

    public string Day(DateOnly day)
    {
        var month = English.DateTimeFormat.GetAbbreviatedMonthName(day.Month);
        var pattern = culture.DateTimeFormat.ShortDatePattern;
        var (y, m, d) = (pattern.IndexOf('y', StringComparison.Ordinal), pattern.IndexOf('M', StringComparison.Ordinal), pattern.IndexOf('d', StringComparison.Ordinal));
        return y < m ? $"{day.Year} {month} {day.Day}" : m < d ? $"{month} {day.Day}, {day.Year}" : $"{day.Day} {month} {day.Year}";
    }

    /// <summary>A moment of recording, to the minute, in UTC as the ledger keeps it.</summary>
    public string Moment(DateTimeOffset time) => $"{Day(time)}, {time.UtcDateTime.ToString("HH:mm", CultureInfo.InvariantCulture)} UTC";

    /// <summary>A date of an occurrence in words where it is simple; otherwise as it is written (EDTF).</summary>
    public string When(Edtf? date)
    {
        if (date is null) return "date not said";
        var text = date.ToString()!;
        var parts = text.Split('/');
        if (parts.Length == 2)
        {
            var (from, to) = (parts[0], parts[1]);
            if (to is "..") return $"from {One(from)} on";
            if (to is "") return $"from {One(from)}, end not known";
            if (from is "..") return $"up to {One(to)}";
            if (from is "") return $"until {One(to)}, beginning not known";
            return $"{One(from)} to {One(to)}";
        }
        return One(text);
    }

    string One(string text)
    {
        var (bare, about) = text switch
        {
            [.. var start, '~'] => (start, "about "),
            [.. var start, '?'] => (start, "perhaps "),
            [.. var start, '%'] => (start, "perhaps about "),
            _ => (text, ""),
        };
        if (DateOnly.TryParseExact(bare, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var day)) return about + Day(day);
        if (DateOnly.TryParseExact(bare + "-01", "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var month))
            return $"{about}{English.DateTimeFormat.GetMonthName(month.Month)} {month.Year}";
        return bare.Length == 4 && bare.All(char.IsAsciiDigit) ? about + bare : text;
    }

    /// <summary>A number as this reader writes it, digits as stored.</summary>
    public string Number(DecimalText number) => Number(number.ToString()!);

    public string Number(long number) => number.ToString("N0", culture);

    /// <summary>A measurement with its unit's usual sign.</summary>
    public string Measure(Quantity? quantity) => quantity is null ? "not said" : Number(quantity.Value.ToString()!) + UnitSigns.After(quantity.Unit.Code);

    /// <summary>An estimate, however much of it was said.</summary>
    public string Estimate(Money? low, Money? high) => (low, high) switch
    {
        (null, null) => "none",
        (null, _) => "up to " + Money(high),
        (_, null) => "from " + Money(low),
        _ => $"{Money(low)} to {Money(high)}",
    };

    public string Money(Money? money) => money is null ? "not said" : $"{Number(money.Amount.ToString()!)} {money.Currency.Code}";

    // Only the separators change: digits that were stored are digits that are shown.
    string Number(string text)
    {
        var (whole, part) = text.Split('.') is [var w, var p] ? (w, p) : (text, "");
        var grouped = whole.TrimStart('-').Length > 3 && decimal.TryParse(whole, CultureInfo.InvariantCulture, out var d) ? d.ToString("N0", culture) : whole;
        return part.Length == 0 ? grouped : grouped + culture.NumberFormat.NumberDecimalSeparator + part;
    }

    static readonly CultureInfo English = CultureInfo.GetCultureInfo("en-GB");
}

/// <summary>UCUM codes as people write the units.</summary>
static class UnitSigns
{
    /// <summary>A sign as it stands behind a number; a bare number has none, and degrees of angle stand close.</summary>
    public static string After(string unit) => unit switch
    {
        "1" => "",
        "deg" => Of(unit),
        _ => " " + Of(unit),
    };

    public static string Of(string unit) => unit switch
    {
        "[in_i]" => "in",
        "[oz_av]" => "oz",
        "[lb_av]" => "lb",
        "Cel" => "\u00b0C",
        "[degF]" => "\u00b0F",
        "deg" => "\u00b0",
        _ => unit,
    };
}
