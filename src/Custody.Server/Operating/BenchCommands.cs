using System.CommandLine;
using System.Globalization;
using System.Text.Json;
using Custody.Bats;
using Custody.Server.Readings;
using Custody.Server.Recording;
using Command = System.CommandLine.Command;

namespace Custody.Server.Operating;

/// <summary>The commands of the examiner's bench: <c>seasons</c>, <c>layers</c>, <c>compare</c>, <c>condition</c>, <c>body</c>. They compute and record nothing.</summary>
static class BenchCommands
{
    internal static readonly JsonSerializerOptions Indented = new(JsonText.Options) { WriteIndented = true };

    public static IEnumerable<Command> Make(Option<DirectoryInfo> data)
    {
        yield return Of("seasons", "Seasons in which a bat can have been used, and the facts that bind them.", data, r => (r.Seasons(), BenchText.Of(r.Seasons())));
        yield return Of("layers", "What lies over what on a bat, and which places of a dated list fit.", data, r => (r.Layers(), BenchText.Of(r.Layers())));
        yield return Of("body", "Measurements of a bat that must make sense: limits by year, weights, lengths.", data, r => (r.Body(), BenchText.Of(r.Body())));
        yield return Compare(data);
        yield return Condition(data);
    }

    internal static Command Of(string name, string description, Option<DirectoryInfo> data, Func<Reading, (object, IEnumerable<string>)> read)
    {
        var (bat, json) = (Bat(), Json());
        Command command = new(name, description) { bat, json, data };
        command.SetAction((parsed, ct) => Run(parsed.GetValue(data)!, parsed.GetValue(bat)!, parsed.GetValue(json), r => (read(r), null), ct));
        return command;
    }

    static Command Compare(Option<DirectoryInfo> data)
    {
        var (bat, json) = (Bat(), Json());
        Option<long?> comparison = new("--comparison") { Description = "Entry of a comparison, to try other pairs; nothing is recorded." };
        Option<string?> pairs = new("--pairs") { Description = "Points that belong together, by their places in the locked lists: 1:1,2:3,..." };
        Option<PictureFit> fit = new("--fit") { Description = "How the pictures are laid on each other." };
        Option<long> tried = new("--tried") { Description = "Pictures, regions and tolerances tried, multiplied.", DefaultValueFactory = _ => 1 };
        Command command = new("compare", "Comparisons of archive pictures with a bat, computed from the locked marks.") { bat, comparison, pairs, fit, tried, json, data };
        command.Validators.Add(given =>
        {
            if (given.GetValue(comparison) is null != given.GetValue(pairs) is null) given.AddError("--comparison and --pairs are given together.");
            else if (given.GetValue(pairs) is { } said && Pairs(said) is null) given.AddError("--pairs takes 1:1,2:3 and so on.");
        });
        command.SetAction((parsed, ct) => Run(parsed.GetValue(data)!, parsed.GetValue(bat)!, parsed.GetValue(json), r =>
            parsed.GetValue(comparison) is { } n
                ? Tried(r, n, parsed.GetValue(fit), Pairs(parsed.GetValue(pairs)!)!, parsed.GetValue(tried))
                : ((r.Comparisons(), BenchText.Of(r.Comparisons())), null), ct));
        return command;
    }

    static ((object, IEnumerable<string>)?, Refusal?) Tried(Reading reading, long n, PictureFit fit, IReadOnlyList<PointPair> pairs, long tried) =>
        reading.TryComparison(n, fit, pairs, tried) switch
        {
            null => (null, new("no-such-comparison", $"Entry {n} of this bat is no comparison that stands.", "Name the entry that opened it.")),
            { Refused: { } refused } => (null, new(refused.Code, refused.Sentence, refused.Remedy)),
            var (result, _) => ((result!, BenchText.Of(result!)), null),
        };

    static List<PointPair>? Pairs(string said)
    {
        var read = said.Split(',').Select(pair => pair.Split(':')).Select(p =>
            p.Length == 2 && int.TryParse(p[0], NumberStyles.None, CultureInfo.InvariantCulture, out var a) && int.TryParse(p[1], NumberStyles.None, CultureInfo.InvariantCulture, out var b)
                ? new PointPair(a, b) : null).ToList();
        return read.Contains(null) ? null : [.. read.OfType<PointPair>()];
    }

    static Command Condition(Option<DirectoryInfo> data)
    {
        var (bat, json) = (Bat(), Json());
        Option<long[]> between = new("--between") { Description = "Entries of two examinations, earlier and later.", Arity = new ArgumentArity(2, 2), AllowMultipleArgumentsPerToken = true };
        Command command = new("condition", "What is new, gone or grown between examinations, and at the two ends of each hand-over.") { bat, between, json, data };
        command.SetAction((parsed, ct) => Run(parsed.GetValue(data)!, parsed.GetValue(bat)!, parsed.GetValue(json), r =>
            parsed.GetValue(between) is [var earlier, var later]
                ? r.ConditionBetween(earlier, later) is { } step ? ((step, BenchText.Of(r.Condition(), step)), null)
                    : (null, new Refusal("no-such-examination", "One of these entries is no examination with locked findings.", "Name the entries that opened them."))
                : ((r.Condition(), BenchText.Of(r.Condition())), null), ct));
        return command;
    }

    internal static Argument<string> Bat() => new("bat") { Description = "Short number or stream name." };

    internal static Option<bool> Json() => new("--json") { Description = "As JSON, with all that a page draws it from." };

    internal static async Task<int> Run(
        DirectoryInfo data, string said, bool json, Func<Reading, ((object Result, IEnumerable<string> Text)? Answer, Refusal? Refused)> read, CancellationToken ct)
    {
        await using var ledger = await OpenedLedger.Open(data, ct);
        if (await ledger.Get<ReadingDesk>().HistoryOf(said, ct) is not { } history)
            return Complaints.Say(BatFinder.Unknown(said));
        var (answer, refused) = read(history.AsCorrected());
        if (answer is not { } given) return Complaints.Say(refused!);
        if (json) Console.WriteLine(JsonSerializer.Serialize(given.Result, Indented));
        else foreach (var line in given.Text) Console.WriteLine(line);
        return 0;
    }
}
