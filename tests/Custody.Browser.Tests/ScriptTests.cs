using System.Text.Json.Nodes;

namespace Custody.Browser.Tests;

/// <summary>The page's script against the command, check by check and word by word, on more dossiers than a browser is given.</summary>
public class ScriptTests
{
    [Fact]
    public void The_script_says_of_every_dossier_what_the_command_says()
    {
        Assert.True(Cases.All.Count >= 300, $"{Cases.All.Count} dossiers");
        Assert.Empty(Differences(Cases.All));
    }

    [Fact]
    public void The_script_catches_what_a_forger_does_to_any_kind_of_file_where_the_command_does()
    {
        List<Case> cases = [.. Cases.Tampered()];
        Assert.True(cases.Count >= 500, $"{cases.Count} dossiers");
        Assert.Empty(Differences(cases));
    }

    [Fact]
    public void The_script_reads_and_tells_every_event_type_in_the_words_of_the_command() => Assert.Empty(Differences([.. Cases.EveryType()]));

    [Fact]
    public void A_comparison_of_verdicts_notices_another_result_and_other_words()
    {
        var good = Cases.All.First(c => c.Name == "life 0");
        if (PageScript.Run([good]) is not [var answer]) return;
        Assert.Empty(Verdicts.Differences(good.ByCommand(), answer));
        answer["checks"]![2]!["result"] = "failed";
        answer["checks"]![3]!["reason"] = "All is well.";
        answer["checks"]![9]!["result"] = "passed";
        Assert.Equal(3, Verdicts.Differences(good.ByCommand(), answer).Count());
    }

    static List<string> Differences(IReadOnlyList<Case> cases)
    {
        if (PageScript.Run(cases) is not { } answers) return [];
        Assert.Equal(cases.Count, answers.Count);
        List<string> found = [];
        foreach (var (one, answer) in cases.Zip(answers))
        {
            var command = one.ByCommand();
            found.AddRange(Verdicts.Differences(command, answer).Select(d => $"{one.Name}: {d}"));
            if (answer["histories"] is { } told && IsToldAlike(command)
                && !JsonNode.DeepEquals(Verdicts.Told(one.Told()), told))
                found.Add($"{one.Name}: told as {told.ToJsonString()}, by the command as {Verdicts.Told(one.Told()).ToJsonString()}");
        }
        return found;
    }

    // Entries are gone, and the command told what is left of the history as corrected.
    static bool IsWhatIsLeft(JsonArray checks) => ((string)checks[9]!["reason"]!).Contains(" is gone", StringComparison.Ordinal)
        && !((string)checks[11]!["reason"]!).Contains("could not be decided again", StringComparison.Ordinal);

    // What the command could not decide again it tells as recorded, the page as corrected: there is nothing to compare.
    static bool IsToldAlike(JsonNode command) => command["checks"]!.AsArray() is var checks
        && ((string)checks[9]!["result"]! == "passed" || IsWhatIsLeft(checks) || Enumerable.Range(1, 3).Any(i => (string)checks[i]!["result"]! == "failed"));
}
