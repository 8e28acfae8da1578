using Custody.Server.Operating.Demo;

namespace Custody.Server.Tests.Demo;

/// <summary>What is wrong with the story's files stops the demo before anything is recorded, and names the line.</summary>
public sealed class DemoScriptTests : IDisposable
{
    readonly DirectoryInfo folder = Directory.CreateTempSubdirectory("custody-story-");

    const string Good = """{"key":"a","at":"2003-01-06T09:00:00Z","ledger":"x","stream":"party/a","act":"RecordParty","command":{"by":"@a"}}""";

    [Theory]
    [InlineData("not json", "a.jsonl line 2 is not JSON")]
    [InlineData("[]", "a.jsonl line 2 is not a JSON object")]
    [InlineData("""{"key":"b","at":"2003-01-06T09:00:00Z","ledger":"x","stream":"s","act":"A","command":{},"why":"?"}""", "unknown member 'why'")]
    [InlineData("""{"key":"b","at":"2003-01-06","ledger":"x","stream":"s","act":"A","command":{}}""", "line 2: 'at' is not a time")]
    [InlineData("""{"key":"b","at":"2003-01-06T09:00:00Z","ledger":"x","stream":"s","act":"A"}""", "line 2 has no command")]
    [InlineData("""{"key":"b","key":"c"}""", "line 2 is not JSON")]
    [InlineData(Good, "Two lines have the key a: a.jsonl line 1 and a.jsonl line 2")]
    public void A_bad_line_is_named(string line, string said)
    {
        Write("a", Good, line);
        Assert.Contains(said, Assert.Throws<DemoFault>(() => DemoScript.Read(folder.FullName)).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Lines_are_told_in_the_order_of_time_whatever_file_they_stand_in()
    {
        Write("b", Good.Replace("\"a\"", "\"early\"", StringComparison.Ordinal));
        Write("a", Good.Replace("2003", "2004", StringComparison.Ordinal), Good.Replace("\"key\":\"a\"", "\"key\":\"c\"", StringComparison.Ordinal));
        Assert.Equal(["c", "early", "a"], DemoScript.Read(folder.FullName).Lines.Select(l => l.Key));
    }

    [Fact]
    public void A_folder_without_events_is_no_story() => Assert.Throws<DemoFault>(() => DemoScript.Read(folder.FullName));

    void Write(string name, params string[] lines) => File.WriteAllLines(Path.Combine(folder.FullName, name + ".jsonl"), lines);

    public void Dispose() => folder.Delete(recursive: true);
}
