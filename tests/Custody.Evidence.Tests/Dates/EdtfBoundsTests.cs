using FsCheck;
using FsCheck.Fluent;

namespace Custody.Evidence.Tests.Dates;

public class EdtfBoundsTests
{
    static readonly Gen<string> Year = Gen.OneOf(Gen.Choose(1940, 1969).Select(y => $"{y}"), Gen.Elements("194X", "195X", "196X"));
    static readonly Gen<string> Month = Gen.Elements("00", "01", "02", "04", "06", "09", "12", "13", "XX", "0X", "1X", "2X", "3X", "X1", "X2", "X9");
    static readonly Gen<string> DayOfMonth = Gen.Elements("00", "01", "09", "28", "29", "30", "31", "32", "XX", "0X", "1X", "2X", "3X", "X1", "X2", "X9");

    static readonly Gen<string> Date =
        from year in Year
        from month in Month
        from day in DayOfMonth
        from length in Gen.Elements(4, 7, 10)
        select $"{year}-{month}-{day}"[..length];

    [Fact]
    public void The_bounds_of_any_date_are_the_first_and_last_day_that_fits_its_digits() => Check(Date, text =>
    {
        var days = Reading.Days(text);
        if (days.Length == 0)
            return !Edtf.TryParse(text, out _, out var refusal) && refusal.Code == "edtf-impossible-date";
        var value = Edtf.Parse(text);
        return new[] { value.EarliestStart, value.EarliestEnd }.All(b => b.Day.Number == days[0])
            && new[] { value.LatestStart, value.LatestEnd }.All(b => b.Day.Number == days[^1]);
    }, 600);

    [Fact]
    public void The_bounds_of_an_interval_are_those_of_its_readings_that_do_not_end_before_they_begin() =>
        Check(Gen.Two(Date).Select(d => $"{d.Item1}/{d.Item2}"), text =>
        {
            var ends = text.Split('/').Select(Reading.Days).ToArray();
            if (ends.Any(e => e.Length == 0))
                return !Edtf.TryParse(text, out _, out var refusal) && refusal.Code == "edtf-impossible-date";
            if (ends[0][0] > ends[1][^1])
                return !Edtf.TryParse(text, out _, out var refusal) && refusal.Code == "edtf-interval-backwards";
            var value = Edtf.Parse(text);
            return value.EarliestStart.Day.Number == ends[0][0] && value.LatestEnd.Day.Number == ends[1][^1]
                && value.LatestStart.Day.Number == Math.Min(ends[0][^1], ends[1][^1]) && value.EarliestEnd.Day.Number == Math.Max(ends[1][0], ends[0][0]);
        }, 600);

    static readonly Gen<string> ShortDate =
        from year in Gen.Elements("1952", "195X")
        from rest in Gen.Elements("-04-12", "-04-1X", "-04-XX", "-05-02", "-05-0X", "-05-XX", "-03-31", "-04-30", "-04-X1")
        select (year == "195X" && rest.Contains('X', StringComparison.Ordinal) ? "1952" : year) + rest;

    static readonly Gen<string> Value = Gen.OneOf(ShortDate, ShortDate,
        Gen.Two(ShortDate).Select(d => $"[{d.Item1},{d.Item2}]"),
        Gen.Elements("1952-03-XX/1952-04-1X", "1952-04-XX/1952-04-XX", "1952-04-12/1952-05-0X", "1952-03-31/1952-05-02"));

    [Fact]
    public void Relations_and_gaps_are_what_all_readings_of_both_values_give() => Check(Gen.Two(Value), pair =>
    {
        var (a, b) = (Reading.All(pair.Item1), Reading.All(pair.Item2));
        var (before, overlap, gapLeast, gapMost) = (new Tally(), new Tally(), int.MaxValue, 0);
        foreach (var (aStart, aEnd) in a)
        {
            foreach (var (bStart, bEnd) in b)
            {
                before.Add(aEnd < bStart);
                overlap.Add(aStart <= bEnd && bStart <= aEnd);
                gapLeast = Math.Min(gapLeast, Math.Max(0, bStart - aEnd - 1));
                gapMost = Math.Max(gapMost, bStart - aEnd - 1);
            }
        }
        return Precedence.Between(Edtf.Parse(pair.Item1), Edtf.Parse(pair.Item2))
            == new Precedence(before.Certainty, overlap.Certainty, new DayCount(gapLeast, gapMost), false);
    }, 60);

    static void Check<T>(Gen<T> gen, Func<T, bool> holds, int count) =>
        FsCheck.Check.One(Config.QuickThrowOnFailure.WithMaxTest(count), Prop.ForAll(gen.ToArbitrary(), holds));
}

/// <summary>Counts how often something held.</summary>
sealed class Tally
{
    int yes, no;

    public void Add(bool held) => _ = held ? yes++ : no++;

    public Certainty Certainty => no == 0 ? Certainty.Certain : yes == 0 ? Certainty.Excluded : Certainty.Possible;
}
