using System.Diagnostics;
using System.Text;
using System.Text.RegularExpressions;
using Custody.Bats;
using Custody.Server.Recording;

namespace Custody.Benchmarks;

/// <summary>The running server over loopback HTTP: acts as a share of the same acts in process, the search page, the page of a bat with 200 entries, and its dossier.
/// Times are the client's, so they hold the server's and more.</summary>
static partial class Asking
{
    const int LongLife = 200;
    const double ShareGoal = 0.5, PageMs = 50, PageBytes = 150_000;

    public static async Task Measure(Bench bench, Plan plan, Figures figures, Action<string> say, CancellationToken ct)
    {
        await using var house = await BenchHouse.Start(bench, ct);
        var recorder = house.Get<Recorder>();
        var (acts, bats) = await Bats(recorder, plan.Bats, ct);
        MoveBat move = new(MoveReason.Storage, null, "rack 12, shelf 3", null) { By = acts.Owner };
        Task Within(int bat) => Expect(recorder.Record(bats[bat], move, new Request(), ct));
        using var program = await house.Program(acts.Owner, ct);
        var body = $$"""{"by":"{{acts.Owner}}","reason":"storage","toPlace":"rack 12, shelf 3"}""";
        async Task Http(int bat)
        {
            using StringContent content = new(body, Encoding.UTF8, "application/json");
            using var answer = await program.PostAsync($"/api/bats/{bats[bat].Id}/move-bat", content, ct);
            if (!answer.IsSuccessStatusCode) throw new InvalidOperationException($"{(int)answer.StatusCode} {await answer.Content.ReadAsStringAsync(ct)}");
        }
        say("recording over HTTP and in process, in turn");
        foreach (var count in new[] { 1, 8 }) await MeasureActs(Within, Http, count, plan, figures);
        for (var n = (await house.Get<BatFinder>().Find(bats[0].ToString(), ct))!.N; n < LongLife; n++) await Within(0);
        while (await house.Waiting(ct)) await Task.Delay(50, ct);
        say($"pages over HTTP, {plan.Asks} times each");
        using var person = await house.Person(acts.Owner, ct);
        await MeasurePage(person, "find", "/find?q=taped+handle", plan, figures, ct);
        await MeasurePage(person, "bat_page", $"/bats/{Numbers.Short(0)}", plan, figures, ct);
        await MeasureDossier(program, bats[0].Id, plan, figures, ct);
    }

    static async Task MeasureActs(Func<int, Task> within, Func<int, Task> http, int writers, Plan plan, Figures figures)
    {
        List<double> inside = [], over = [];
        foreach (var kind in new[] { within, http }) await Appending.Rate(kind, writers, plan.Bats, plan.Warmup);
        for (var round = 0; round < plan.Rounds; round++)
        {
            inside.Add(await Appending.Rate(within, writers, plan.Bats, plan.Window));
            over.Add(await Appending.Rate(http, writers, plan.Bats, plan.Window));
        }
        var (share, suffix) = (Middle(over) / Middle(inside), writers == 8 ? "" : $"_{writers}w");
        figures.Note($"http_acts_per_s{suffix}", Middle(over), "acts/s");
        figures.AtLeast($"http_vs_inprocess{suffix}", share, "of in process", ShareGoal);
    }

    /// <summary>p95 of the time to the last byte, and what a browser that has nothing yet loads: the page and its style and scripts, as they are sent.</summary>
    static async Task MeasurePage(HttpClient person, string key, string address, Plan plan, Figures figures, CancellationToken ct)
    {
        List<double> times = [];
        var page = "";
        for (var i = -10; i < plan.Asks; i++)
        {
            var begun = Stopwatch.GetTimestamp();
            page = await person.GetStringAsync(address, ct);
            if (i >= 0) times.Add(Stopwatch.GetElapsedTime(begun).TotalMilliseconds);
        }
        if (!page.Contains("taped handle", StringComparison.Ordinal)) throw new InvalidOperationException($"{address} does not show the bat.");
        var bytes = Encoding.UTF8.GetByteCount(page);
        foreach (var asset in Asset().Matches(page).Select(m => m.Groups[1].Value).Distinct())
            bytes += (await person.GetByteArrayAsync(asset, ct)).Length;
        figures.Below($"{key}_p95_ms", times.Order().ElementAt((times.Count - 1) * 95 / 100), "ms", PageMs);
        figures.Below($"{key}_first_load_kb", bytes / 1000.0, "kB", PageBytes / 1000);
    }

    static async Task MeasureDossier(HttpClient program, string bat, Plan plan, Figures figures, CancellationToken ct)
    {
        List<double> times = [];
        for (var i = -2; i < plan.Asks / 10; i++)
        {
            var begun = Stopwatch.GetTimestamp();
            using StringContent content = new("""{"reveal":["all"]}""", Encoding.UTF8, "application/json");
            using var answer = await program.PostAsync($"/api/bats/{bat}/dossier", content, ct);
            var dossier = await answer.EnsureSuccessStatusCode().Content.ReadAsByteArrayAsync(ct);
            if (dossier is not [(byte)'P', (byte)'K', ..]) throw new InvalidOperationException("What came is no archive.");
            if (i >= 0) times.Add(Stopwatch.GetElapsedTime(begun).TotalMilliseconds);
        }
        figures.Note("dossier_200_entries_ms", Middle(times), "ms");
    }

    static async Task<(Acts Acts, StreamName[] Bats)> Bats(Recorder recorder, int count, CancellationToken ct)
    {
        var acts = (await Writers.Register(recorder, 0, ct)).Acts;
        StreamName[] bats = [.. Enumerable.Range(0, count).Select(_ => Writers.Fresh("bat"))];
        for (var i = 0; i < count; i++) await Expect(recorder.Record(bats[i], acts.Register(Numbers.Short(i)), new Request(), ct));
        return (acts, bats);
    }

    static async Task Expect(Task<Outcome> outcome)
    {
        if (await outcome is not Recorded) throw new InvalidOperationException((await outcome).ToString());
    }

    static double Middle(List<double> values) => values.Order().ElementAt(values.Count / 2);

    [GeneratedRegex("(?:href|src)=\"(/assets/[^\"]+)\"")]
    private static partial Regex Asset();
}
