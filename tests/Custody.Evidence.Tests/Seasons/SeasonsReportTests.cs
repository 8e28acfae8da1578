namespace Custody.Evidence.Tests.Seasons;

public class SeasonsReportTests
{
    static readonly DatingFact[] Facts =
    [
        new("mark", BatMoment.Made, [Edtf.Parse("1950/1955")], false, false, "the maker's book of marks"),
        new("stints", BatMoment.Used, [Edtf.Parse("1952"), Edtf.Parse("1957/..")], false, true, "the club's lists"),
        new("style", BatMoment.Used, [Edtf.Parse("1950~/1958~")], true, false, "common practice"),
    ];

    static SeasonsReport Report(params DatingFact[] facts) =>
        SeasonsReport.TryMake(facts, [], out var report, out var refusal) ? report : throw new InvalidOperationException(refusal.Code);

    [Fact]
    public void Every_fact_is_there_with_its_source_its_words_and_the_days_to_draw()
    {
        var report = Report(Facts);
        Assert.Equal(("seasons/1", 3), (report.Method, report.Facts.Count));
        Assert.Equal([new DrawnDays("1952-01-01", "1952-12-31"), new DrawnDays("1957-01-01", null)], report.Facts[1].Days);
        Assert.Equal(("1952", "the club's lists"), (report.Facts[1].Written[0].Text, report.Facts[1].Source));
    }

    [Fact]
    public void Cautions_say_what_the_result_is_not()
    {
        Assert.Single(Report().Cautions);
        Assert.Equal(2, Report(Facts[0]).Cautions.Count);
        Assert.Contains(Report(Facts).Cautions, c => c.Contains("approximate", StringComparison.Ordinal));
        Assert.Contains(Report(Facts).Cautions, c => c.Contains("only under the proposition", StringComparison.Ordinal));
    }

    [Fact]
    public void What_cannot_be_computed_is_refused_as_seasons_are()
    {
        Assert.False(SeasonsReport.TryMake([Facts[0], Facts[0]], [], out _, out var refusal));
        Assert.Equal("seasons-fact-twice", refusal.Code);
    }
}
