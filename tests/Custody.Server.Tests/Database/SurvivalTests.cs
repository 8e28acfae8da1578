using System.Diagnostics;
using System.Globalization;
using Npgsql;

namespace Custody.Server.Tests.Database;

/// <summary>Real processes, really killed, on Linux. Every wait has a limit.</summary>
public class SurvivalTests
{
    public static TheoryData<string> Users => TestFolder.Users;

    [Theory, MemberData(nameof(Users))]
    public async Task What_was_committed_is_there_after_a_stop_and_a_start(string user)
    {
        using var folder = new TestFolder(user);
        await using var first = await HolderProcess.ReadyAsync(folder);
        await RecordAsync(first, "kept");
        Assert.Equal("Stopped", await first.StopAsync());
        Assert.False(IsAlive(first.PostmasterId));

        await using var second = await HolderProcess.ReadyAsync(folder);

        Assert.Equal("kept", await second.AskAsync("SELECT string_agg(word, ',') FROM words"));
    }

    [Theory, MemberData(nameof(Users))]
    public async Task A_cluster_is_durable_checksummed_utf8_and_closed_to_the_network(string user)
    {
        using var folder = new TestFolder(user);
        await using var holder = await HolderProcess.ReadyAsync(folder);
        var settings = new Dictionary<string, string>
        {
            ["fsync"] = "on",
            ["full_page_writes"] = "on",
            ["synchronous_commit"] = "on",
            ["data_checksums"] = "on",
            ["server_encoding"] = "UTF8",
            ["listen_addresses"] = "",
            ["is_superuser"] = "off",
        };

        foreach (var (name, value) in settings) Assert.Equal((name, value), (name, await holder.AskAsync($"SHOW {name}")));
        Assert.Equal("custody", await holder.AskAsync("SELECT pg_get_userbyid(datdba) FROM pg_database WHERE datname = current_database()"));
        Assert.Equal("É é", await holder.AskAsync("SELECT upper('é') || ' ' || lower('É')"));
    }

    [Theory, MemberData(nameof(Users))]
    public async Task A_killed_program_leaves_a_server_that_the_next_one_attaches_to(string user)
    {
        using var folder = new TestFolder(user);
        await using var killed = await HolderProcess.ReadyAsync(folder);
        await RecordAsync(killed, "before");
        await killed.KillAsync();
        Assert.True(IsAlive(killed.PostmasterId));

        await using var next = await HolderProcess.ReadyAsync(folder);

        Assert.Equal(killed.PostmasterId, next.PostmasterId);
        Assert.Equal("before", await next.AskAsync("SELECT string_agg(word, ',') FROM words"));
        Assert.Equal("Stopped", await next.StopAsync());
        Assert.False(IsAlive(next.PostmasterId));
    }

    [Theory, MemberData(nameof(Users))]
    public async Task A_killed_postmaster_is_started_again_at_the_same_address_by_whoever_holds_it(string user)
    {
        using var folder = new TestFolder(user);
        await using var holder = await HolderProcess.ReadyAsync(folder);
        await RecordAsync(holder, "committed");

        Process.GetProcessById(holder.PostmasterId).Kill();

        Assert.Equal("committed", await AskUntilItAnswersAsync(holder, "SELECT string_agg(word, ',') FROM words"));
        Assert.Equal("Stopped", await holder.StopAsync());
    }

    [Theory, MemberData(nameof(Users))]
    public async Task On_a_loopback_port_a_killed_postmaster_comes_back_on_the_same_port(string user)
    {
        using var folder = new TestFolder(user);
        await using var holder = await HolderProcess.ReadyAsync(folder, "--port", "0");
        await RecordAsync(holder, "committed");
        Assert.Equal("127.0.0.1", new NpgsqlConnectionStringBuilder(holder.ConnectionString).Host);

        Process.GetProcessById(holder.PostmasterId).Kill();

        Assert.Equal("committed", await AskUntilItAnswersAsync(holder, "SELECT string_agg(word, ',') FROM words"));
    }

    [Theory, MemberData(nameof(Users))]
    public async Task Everything_killed_with_a_backend_that_does_not_notice_starts_again_whole(string user)
    {
        using var folder = new TestFolder(user);
        await using var killed = await HolderProcess.ReadyAsync(folder);
        await RecordAsync(killed, "committed");
        await using var connection = new NpgsqlConnection(killed.ConnectionString);
        await connection.OpenAsync(TestContext.Current.CancellationToken);
        var backend = connection.ProcessID;
        // A stopped process neither notices that its postmaster is gone nor answers a polite signal.
        TestFolder.Run("kill", "-STOP", backend.ToString(CultureInfo.InvariantCulture));
        await killed.KillAsync();
        Process.GetProcessById(killed.PostmasterId).Kill();

        await using var next = await HolderProcess.ReadyAsync(folder);

        Assert.Equal("committed", await next.AskAsync("SELECT string_agg(word, ',') FROM words"));
        Assert.False(IsAlive(backend));
    }

    [Theory, MemberData(nameof(Users))]
    public async Task A_number_left_in_postmaster_pid_that_is_a_strangers_by_now_does_not_stop_the_start(string user)
    {
        using var folder = new TestFolder(user);
        await using (var first = await HolderProcess.ReadyAsync(folder)) Assert.Equal("Stopped", await first.StopAsync());
        var owner = TestFolder.Run("stat", "-c", "%U", folder.Cluster);
        var start = new ProcessStartInfo("sleep", "300");
        if (owner != Environment.UserName) start.UserName = owner;
        using var stranger = Process.Start(start)!;
        try
        {
            var file = Path.Combine(folder.Cluster, "postmaster.pid");
            await File.WriteAllTextAsync(file, $"{stranger.Id}\n{folder.Cluster}\n1\n5432\n{folder.Data}/postgres/run\n\n1 1\nready\n", TestContext.Current.CancellationToken);
            TestFolder.Run("chown", owner, file);
            // The same number stands in the lock beside the socket.
            var socket = $"{folder.Data}/postgres/run/.s.PGSQL.5432.lock";
            await File.WriteAllTextAsync(socket, await File.ReadAllTextAsync(file, TestContext.Current.CancellationToken), TestContext.Current.CancellationToken);
            TestFolder.Run("chown", owner, socket);

            await using var next = await HolderProcess.ReadyAsync(folder);

            Assert.Equal("Stopped", await next.StopAsync());
        }
        finally
        {
            stranger.Kill();
        }
    }

    [Theory, MemberData(nameof(Users))]
    public async Task Two_processes_started_at_once_share_one_server_and_the_last_one_out_stops_it(string user)
    {
        using var folder = new TestFolder(user);
        await using var one = HolderProcess.Start(folder, folder.Data, []);
        await using var other = HolderProcess.Start(folder, folder.Data, []);
        await one.WaitUntilReadyAsync();
        await other.WaitUntilReadyAsync();
        Assert.Equal(one.PostmasterId, other.PostmasterId);

        Assert.Equal("LeftRunning", await one.StopAsync());
        await RecordAsync(other, "still here");
        Assert.Equal("Stopped", await other.StopAsync());
        Assert.False(IsAlive(other.PostmasterId));
    }

    [Theory, MemberData(nameof(Users))]
    public async Task A_process_that_was_killed_does_not_count_as_still_using_the_server(string user)
    {
        using var folder = new TestFolder(user);
        await using var starter = await HolderProcess.ReadyAsync(folder);
        await using var other = await HolderProcess.ReadyAsync(folder);
        await starter.KillAsync();

        await RecordAsync(other, "still here");

        Assert.Equal("Stopped", await other.StopAsync());
    }

    [Theory, MemberData(nameof(Users))]
    public async Task A_folder_whose_path_is_too_long_for_a_socket_and_closed_to_others_works_too(string user)
    {
        using var folder = new TestFolder(user);
        var closed = Path.Combine(folder.Root, "closed");
        TestFolder.Run("install", "-d", "-m", "700", "-o", user, closed);
        var deep = Path.Combine(closed, new string('l', 120), "it's, data");
        await using var first = HolderProcess.Start(folder, deep, []);
        await first.WaitUntilReadyAsync();
        await RecordAsync(first, "deep");
        var socket = new NpgsqlConnectionStringBuilder(first.ConnectionString).Host!;
        Assert.Equal("Stopped", await first.StopAsync());
        Assert.False(File.Exists(Path.Combine(socket, ".s.PGSQL.5432")));

        await using var second = HolderProcess.Start(folder, deep, []);
        await second.WaitUntilReadyAsync();

        Assert.Equal("deep", await second.AskAsync("SELECT string_agg(word, ',') FROM words"));
        Assert.Equal("Stopped", await second.StopAsync());
    }

    static async Task RecordAsync(HolderProcess holder, string word)
    {
        await holder.AskAsync("CREATE TABLE IF NOT EXISTS words (word text)");
        await holder.AskAsync($"INSERT INTO words VALUES ('{word}')");
    }

    static async Task<object?> AskUntilItAnswersAsync(HolderProcess holder, string sql)
    {
        for (var since = Stopwatch.StartNew(); ; await Task.Delay(200))
        {
            try
            {
                return await holder.AskAsync(sql);
            }
            catch (Exception away) when (since.Elapsed < TimeSpan.FromSeconds(60) && away is NpgsqlException or System.Net.Sockets.SocketException)
            {
                // Not back yet: asked again until the limit.
            }
        }
    }

    // A process that ended but that nobody has collected yet still has its number, and an empty command line.
    static bool IsAlive(int pid) => File.Exists($"/proc/{pid}/cmdline") && File.ReadAllText($"/proc/{pid}/cmdline").Length > 0;
}
