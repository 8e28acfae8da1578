using Custody.Server.Operating.Demo;
using Custody.Server.Tests.Database;

namespace Custody.Server.Tests.Demo;

/// <summary>The demo stops at the first act that does not end as the story says. A database for each: what one records is not another's.</summary>
public sealed class DemoRefusalTests : IAsyncLifetime
{
    const string House = """{"key":"house","at":"2003-01-06T09:00:00Z","ledger":"LEDGER","stream":"party/house","act":"RecordParty","command":{"by":"@house","kind":"house","name":"A house"}}""";
    const string Bat = """{"key":"bat","at":"2003-01-07T09:00:00Z","ledger":"bellwether","stream":"bat/one","act":"RegisterBat","command":{"by":"@house","arrival":"ownCollection","presentedBy":"@house","custodian":"@house","custodyBasis":"houseRecord","title":[],"titleBasis":"none"}}""";

    readonly PostgresForTests postgres = new();
    readonly DirectoryInfo folder = Directory.CreateTempSubdirectory("custody-story-");

    [Fact]
    public async Task An_act_refused_by_the_rules_stops_the_demo_and_names_line_and_code()
    {
        var fault = await Told(Bat, Bat.Replace("\"bat\"", "\"again\"", StringComparison.Ordinal));
        Assert.Contains("b.jsonl line 2 (again, RegisterBat)", fault.Message, StringComparison.Ordinal);
        Assert.Contains("already-registered", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_act_that_must_be_refused_and_is_not_stops_the_demo()
    {
        var fault = await Told(Bat[..^1] + ",\"refused\":\"on-hold\"}");
        Assert.Contains("was recorded. It should have been refused with on-hold.", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_act_refused_with_another_code_stops_the_demo()
    {
        var fault = await Told(Bat, Bat.Replace("\"bat\"", "\"again\"", StringComparison.Ordinal)[..^1] + ",\"refused\":\"on-hold\"}");
        Assert.Contains("It should have been refused with on-hold.", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_key_that_no_earlier_line_has_is_named()
    {
        var fault = await Told(Bat, """{"key":"hold","at":"2003-01-08T09:00:00Z","ledger":"bellwether","stream":"bat/one","act":"LiftHold","command":{"by":"@house","hold":{"$n":"nothing"},"reason":"placedInError","basis":"none"}}""");
        Assert.Contains("b.jsonl line 2: no earlier line is called nothing", fault.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_folder_that_holds_another_ledger_is_left_alone()
    {
        File.WriteAllText(Path.Combine(folder.FullName, "origin"), "ledger.someone.example");
        var fault = await Told(Bat);
        Assert.Contains("holds the ledger ledger.someone.example", fault.Message, StringComparison.Ordinal);
    }

    async Task<DemoFault> Told(params string[] lines)
    {
        var events = folder.CreateSubdirectory("events");
        File.WriteAllLines(Path.Combine(events.FullName, "a.jsonl"), [House.Replace("LEDGER", "bellwether", StringComparison.Ordinal), House.Replace("LEDGER", "merrow", StringComparison.Ordinal)]);
        File.WriteAllLines(Path.Combine(events.FullName, "b.jsonl"), lines);
        using var said = new StringWriter();
        return await Assert.ThrowsAsync<DemoFault>(() => new DemoRun(DemoScript.Read(events.FullName), folder, said).Run(folder, postgres.ConnectionString, CancellationToken.None));
    }

    public ValueTask InitializeAsync() => postgres.InitializeAsync();

    public async ValueTask DisposeAsync()
    {
        await postgres.DisposeAsync();
        folder.Delete(recursive: true);
    }
}
