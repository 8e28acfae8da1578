using System.Text.Json;
using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Operating;
using Custody.Server.Readings;
using Custody.Server.Recording;
using Custody.Transparency;
using Microsoft.Extensions.DependencyInjection;

namespace Custody.Server.Tests.Demo;

public sealed class DemoTests(DemoTold told) : IClassFixture<DemoTold>
{
    [Fact]
    public void The_story_is_told_to_its_end_and_every_dossier_holds()
    {
        Assert.Equal(0, told.First.Code);
        Assert.Contains($"{told.Script.Lines.Count(l => l.Refused is null)} recorded now, 0 told before", told.First.Said, StringComparison.Ordinal);
        Assert.DoesNotContain("FAILED", told.First.Said, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Every_event_type_is_recorded()
    {
        var recorded = new HashSet<string>(StringComparer.Ordinal);
        foreach (var schema in DemoTold.Schemas)
            recorded.UnionWith((await told.Query($"select distinct convert_from(bdata, 'UTF8')::jsonb ->> 'type' from {schema}.mt_events")).Cast<string>());
        Assert.Empty(Shapes.Names.Except(recorded));
    }

    [Fact]
    public void Fourteen_bats_and_three_hundred_events_or_more()
    {
        Assert.True(told.CountsAfterFirst[0] + told.CountsAfterFirst[2] >= 300);
        Assert.True(Directory.GetFiles(told.Output.FullName, "*.dossier.zip", SearchOption.AllDirectories).Length >= 14);
    }

    [Fact]
    public void Told_again_nothing_is_recorded_twice()
    {
        Assert.Equal(0, told.Second.Code);
        Assert.Contains("0 recorded now", told.Second.Said, StringComparison.Ordinal);
        Assert.Equal(told.CountsAfterFirst, told.CountsAfterSecond);
    }

    [Fact]
    public void Every_entry_is_in_the_log()
    {
        Assert.Equal(told.CountsAfterFirst[0], told.CountsAfterFirst[1]);
        Assert.Equal(told.CountsAfterFirst[2], told.CountsAfterFirst[3]);
    }

    [Fact]
    public void A_history_continued_by_another_house_is_one_dossier()
    {
        var continued = Directory.GetFiles(Path.Combine(told.Output.FullName, "dossiers", "merrow"));
        using var file = File.OpenRead(Assert.Single(continued));
        Assert.Equal(2, DossierReader.Read(file).Parts.Count);
    }

    /// <summary>The demo's sheets are fuller than any made by chance: opinions, holds, lots, labels, open work.</summary>
    [Fact]
    public void Every_dossiers_summary_is_the_sheet_as_the_server_serializes_it()
    {
        foreach (var path in Directory.GetFiles(Path.Combine(told.Output.FullName, "dossiers"), "*.dossier.zip", SearchOption.AllDirectories))
        {
            using var file = File.OpenRead(path);
            var bag = Bag.In(BagZipReader.Open(file));
            var lines = HistoryLines.Read(bag.ReadAll("data/history.jsonl", 1 << 24)).Lines;
            var sheet = History.Of(lines.Select(l => l.Entry!)).AsCorrected().Sheet();
            Assert.Equal(
                Jcs.Parse(JsonSerializer.SerializeToUtf8Bytes(sheet, JsonText.Options)), ((Json.Obj)Jcs.Parse(bag.ReadAll("data/summary.json", 1 << 24)))["sheet"]);
        }
    }

    /// <summary>From the dossiers alone, as a stranger would: open fields are all that the computation reads.</summary>
    [Fact]
    public void What_the_bench_computed_comes_out_again_from_every_dossier()
    {
        List<ComparisonRead> comparisons = [];
        foreach (var path in Directory.GetFiles(Path.Combine(told.Output.FullName, "dossiers"), "*.dossier.zip", SearchOption.AllDirectories))
        {
            using var file = File.OpenRead(path);
            var reading = History.Of(HistoryLines.Read(Bag.In(BagZipReader.Open(file)).ReadAll("data/history.jsonl", 1 << 24)).Lines.Select(l => l.Entry!)).AsCorrected();
            comparisons.AddRange(reading.Comparisons().Comparisons);
            Assert.All(new object[] { reading.Seasons(), reading.Layers(), reading.Condition(), reading.Body() }, answer => Assert.NotEmpty(JsonSerializer.Serialize(answer, JsonText.Options)));
        }
        Assert.Contains(comparisons, c => c.AsRecorded == true);
        Assert.DoesNotContain(comparisons, c => c.AsRecorded == false);
    }

    [Fact]
    public async Task Every_opinion_comes_out_again_from_the_ledger_alone_and_one_at_least_was_computed()
    {
        await using var ledger = OpenedLedger.Build(new("ledger.bellwether.example", told.ConnectionString, told.Data.FullName), TimeProvider.System);
        List<RecomputedOnBat> read = [];
        await foreach (var opinion in ledger.GetRequiredService<RecomputeDesk>().All(TestContext.Current.CancellationToken)) read.Add(opinion);
        Assert.All(read, r => Assert.True(r.Opinion.Holds));
        Assert.Contains(read, r => r.Opinion.Numbers.Any(n => n is { Method: "custody-habit-weight/1", Standing: NumberStanding.Same }));
        Assert.Contains(read, r => r.Opinion.Computed == 0);
    }

    [Fact]
    public async Task A_bat_is_found_by_the_number_people_read_aloud()
    {
        var written = Directory.GetFiles(Path.Combine(told.Output.FullName, "dossiers", "bellwether"))[0];
        var number = Path.GetFileName(written)[..8];
        await using var ledger = OpenedLedger.Build(new("ledger.bellwether.example", told.ConnectionString, told.Data.FullName), TimeProvider.System);
        var finder = ledger.GetRequiredService<BatFinder>();
        Assert.Equal(number, (await finder.Find($"{number[..4]}-{number[4..]}".ToLowerInvariant(), TestContext.Current.CancellationToken))?.Registration!.ShortNumber);
        Assert.Null(await finder.Find("00000000", TestContext.Current.CancellationToken));
    }

    [Fact]
    public void Labels_in_use_are_printed_for_both_stocks()
    {
        var names = Directory.GetFiles(Path.Combine(told.Output.FullName, "labels", "bellwether")).Select(Path.GetFileName).ToList();
        Assert.Contains("labels.a4-21.pdf", names);
        Assert.Contains("labels.letter-10.pdf", names);
        Assert.Contains(names, n => n!.EndsWith(".png", StringComparison.Ordinal));
    }
}
