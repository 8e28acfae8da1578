namespace Custody.Evidence.Tests.Dates;

public class DayTests
{
    [Fact]
    public void Days_of_the_platform_calendar_have_the_same_number_and_date()
    {
        for (var number = DateOnly.MinValue.DayNumber; number <= DateOnly.MaxValue.DayNumber; number += 5)
        {
            var date = DateOnly.FromDayNumber(number);
            if (new Day(number).Date != (date.Year, date.Month, date.Day) || Day.Of(date.Year, date.Month, date.Day).Number != number)
                Assert.Fail($"{date:O} differs");
        }
    }

    [Theory]
    [InlineData(0, 12, 31, -1)] // the day before 0001-01-01
    [InlineData(0, 1, 1, -366)] // year 0000 is a leap year (ISO 8601-1)
    [InlineData(-1, 12, 31, -367)]
    [InlineData(-400, 12, 31, -146_098)] // 400 years are 146,097 days
    [InlineData(10_000, 1, 1, 3_652_059)] // the day after 9999-12-31
    [InlineData(Day.LargestYear, 12, 31, 3_652_424_999_999_633)] // 10^13 years are 365.2425 * 10^13 days; less the last, a leap year, and counted from 0
    public void Years_beyond_the_platform_calendar_count_on(long year, int month, int day, long number)
    {
        Assert.Equal(number, Day.Of(year, month, day).Number);
        Assert.Equal((year, month, day), new Day(number).Date);
    }

    [Fact]
    public void Days_around_every_turn_of_a_month_follow_one_another_in_far_years()
    {
        foreach (var year in new[] { -Day.LargestYear, -170_000_001, -401, -4, -1, 0, 10_001, 170_000_000 })
        {
            for (var month = 1; month < 12; month++)
                Assert.Equal(Day.LastOf(year, month).Number + 1, Day.FirstOf(year, month + 1).Number);
            Assert.Equal(Day.LastOf(year, 12).Number + 1, Day.FirstOf(year + 1, 1).Number);
            Assert.Equal((year, 2, Day.IsLeap(year) ? 29 : 28), Day.LastOf(year, 2).Date);
        }
    }

    [Theory]
    [InlineData(1952, 0, 1)]
    [InlineData(1952, 13, 1)]
    [InlineData(2015, 2, 29)]
    public void A_day_that_does_not_exist_cannot_be_made(long year, int month, int day) =>
        Assert.Throws<ArgumentOutOfRangeException>(() => Day.Of(year, month, day));
}
