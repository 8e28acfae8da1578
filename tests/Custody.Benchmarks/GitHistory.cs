using System.Diagnostics;

namespace Custody.Benchmarks;

/// <summary>What a careful person would do today: the same entries, each appended to its bat's file and committed to git, flushed to the disk before the next; and
/// <c>git fsck</c> for the audit. Nothing is signed, packed or looked up, which all is in git's favour.</summary>
static class GitHistory
{
    const double AppendGoal = 20, VerifyGoal = 15;

    /// <summary>Commits so many entries and checks them. Appending and auditing must have been measured before, in the same run.</summary>
    public static async Task Measure(Bench bench, Plan plan, Figures figures, CancellationToken ct)
    {
        var folder = Directory.CreateTempSubdirectory("custody-benchmarks-git-");
        try
        {
            await Git(folder, ct, "init", "--quiet", ".");
            foreach (var (name, value) in Settings) await Git(folder, ct, "config", name, value);
            BulkHistory history = new(bench.Place.Origin, bench.Writers.Acts, firstNumber: 0);
            var lives = history.Lives(plan.Commits);
            var clock = Stopwatch.StartNew();
            foreach (var entry in history.Entries(lives)) await Commit(folder, entry, ct);
            var commits = plan.Commits / clock.Elapsed.TotalSeconds;
            clock.Restart();
            await Git(folder, ct, "fsck", "--full", "--no-progress");
            var verified = plan.Commits / clock.Elapsed.TotalSeconds;
            figures.Note("git_commits_per_s", commits, "events/s");
            figures.Note("git_fsck_events_per_s", verified, "events/s");
            // git has one writer at a time, whoever uses it; so the first ratio is of one writer too.
            figures.AtLeast("git_append_ratio", figures.Of("append_1w_acts_per_s") / commits, "times git", AppendGoal);
            figures.Note("git_append_ratio_8w", figures.Of("append_8w_acts_per_s") / commits, "times git");
            figures.AtLeast("git_verify_ratio", figures.Of("audit_events_per_s") / verified, "times git", VerifyGoal);
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    // Everything git writes is flushed, each in its own way, as a database does at each commit (git-config(1), core.fsync).
    static readonly (string Name, string Value)[] Settings =
    [
        ("core.fsync", "all"), ("core.fsyncMethod", "fsync"), ("gc.auto", "0"), ("commit.gpgsign", "false"),
        ("user.name", "keeper"), ("user.email", "keeper@ledger.example"),
    ];

    static async Task Commit(DirectoryInfo folder, BulkEntry entry, CancellationToken ct)
    {
        var name = entry.Stream.ToString().Replace('/', '-') + ".jsonl";
        await using (var file = new FileStream(Path.Combine(folder.FullName, name), FileMode.Append))
        {
            await file.WriteAsync(entry.Bytes, ct);
            file.WriteByte((byte)'\n');
            file.Flush(flushToDisk: true);
        }
        if (entry.N == 1) await Git(folder, ct, "add", "--", name);
        await Git(folder, ct, "commit", "--quiet", "-m", $"{entry.Stream} {entry.N}", "--", name);
    }

    static async Task Git(DirectoryInfo folder, CancellationToken ct, params string[] arguments)
    {
        ProcessStartInfo start = new("git", arguments) { WorkingDirectory = folder.FullName, RedirectStandardError = true, RedirectStandardOutput = true };
        // Only what stands above, whatever whoever runs this has set.
        (start.Environment["GIT_CONFIG_GLOBAL"], start.Environment["GIT_CONFIG_NOSYSTEM"]) = ("/dev/null", "1");
        using var process = Process.Start(start)!;
        var (output, errors) = (process.StandardOutput.ReadToEndAsync(ct), process.StandardError.ReadToEndAsync(ct));
        await process.WaitForExitAsync(ct);
        if (process.ExitCode != 0) throw new InvalidOperationException($"git {arguments[0]} ended with {process.ExitCode}: {await output}{await errors}");
    }
}
