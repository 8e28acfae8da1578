using System.Net;
using System.Net.Sockets;
using Custody.Server.Database;

namespace Custody.Server.Tests.Database;

/// <summary>Each named failure through a real process: the code, an exit code that is not 0, a remedy, and nothing half made.</summary>
public class FailureTests
{
    public static TheoryData<string> Users => TestFolder.Users;

    [Theory, MemberData(nameof(Users))]
    public async Task A_cluster_of_another_major_version_is_refused_and_left_as_it_is(string user)
    {
        using var folder = new TestFolder(user);
        await using (var made = await HolderProcess.ReadyAsync(folder)) Assert.Equal("Stopped", await made.StopAsync());
        var version = Path.Combine(folder.Cluster, "PG_VERSION");
        var own = await File.ReadAllTextAsync(version, TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(version, "12\n", TestContext.Current.CancellationToken);
        var before = folder.Contents();

        await RefusedAsync(folder, "wrong-major-version", "made by PostgreSQL 12", "Install PostgreSQL 12");

        Assert.Equal(before, folder.Contents());
        await File.WriteAllTextAsync(version, own, TestContext.Current.CancellationToken);
        await using var again = await HolderProcess.ReadyAsync(folder);
        Assert.Equal(1, await again.AskAsync("SELECT 1"));
    }

    [Theory, MemberData(nameof(Users))]
    public async Task A_data_folder_that_cannot_be_made_is_refused(string user)
    {
        using var folder = new TestFolder(user);
        var file = Path.Combine(folder.Root, "a-file");
        await File.WriteAllTextAsync(file, "", TestContext.Current.CancellationToken);

        var before = folder.Contents();
        var (exitCode, errors) = await HolderProcess.Start(folder, Path.Combine(file, "data"), []).FailedAsync();

        AssertNamed(exitCode, errors, "folder-unwritable", "choose another data folder");
        Assert.Equal(before, folder.Contents());
    }

    [Theory, MemberData(nameof(Users))]
    public async Task A_data_folder_of_another_user_is_refused_unless_root_asks(string user)
    {
        using var folder = new TestFolder(user);
        Directory.CreateDirectory(folder.Data);
        // As an ordinary user alone on the machine: a folder of one's own that was made read-only.
        TestFolder.Run("chmod", "555", folder.Data);

        await using var holder = HolderProcess.Start(folder, folder.Data, []);
        if (user == "root")
        {
            await holder.WaitUntilReadyAsync();
            return;
        }
        var (exitCode, errors) = await holder.FailedAsync();
        AssertNamed(exitCode, errors, "folder-unwritable", "Give it to the user");
        Assert.Empty(Directory.EnumerateFileSystemEntries(folder.Data));
    }

    [Theory, MemberData(nameof(Users))]
    public async Task A_taken_port_is_refused_before_anything_is_made(string user)
    {
        using var folder = new TestFolder(user);
        using var other = new TcpListener(IPAddress.Loopback, 0);
        other.Start();
        var port = ((IPEndPoint)other.LocalEndpoint).Port.ToString(System.Globalization.CultureInfo.InvariantCulture);

        await RefusedAsync(folder, "port-taken", $"port {port}", "CUSTODY_POSTGRES_PORT", "--port", port);

        Assert.Empty(folder.Contents());
    }

    [Theory, MemberData(nameof(Users))]
    public async Task Without_binaries_it_says_what_to_install(string user)
    {
        using var folder = new TestFolder(user);
        await RefusedAsync(folder, "binaries-missing", "No PostgreSQL 15 or newer is installed", "apt-get install postgresql", PathWithout(folder), "--no-installed");

        Assert.False(Directory.Exists(folder.Data));
    }

    [Theory, MemberData(nameof(Users))]
    public async Task Without_binaries_and_without_npm_a_fetch_is_not_mistaken_for_a_success(string user)
    {
        using var folder = new TestFolder(user);
        await RefusedAsync(folder, "binaries-missing", "No PostgreSQL", "or npm", PathWithout(folder), "--no-installed", "--may-fetch");

        Assert.False(Directory.Exists(folder.Data));
    }

    [Theory, MemberData(nameof(Users))]
    public async Task A_fetched_package_with_other_bytes_than_expected_is_thrown_away(string user)
    {
        using var folder = new TestFolder(user);
        var path = PathWithout(folder);
        // "pack NAME --pack-destination FOLDER ...": puts something else there.
        folder.Script("tools", "npm", "echo not the package > \"$4/embedded.tgz\"");

        await RefusedAsync(folder, "fetch-checksum", "thrown away", "system's own package manager", path, "--no-installed", "--may-fetch");

        Assert.False(Directory.Exists(folder.Data));
    }

    [Theory, MemberData(nameof(Users))]
    public async Task A_fetch_that_fails_says_why(string user)
    {
        using var folder = new TestFolder(user);
        var path = PathWithout(folder);
        folder.Script("tools", "npm", "echo no such host >&2; exit 1");

        await RefusedAsync(folder, "fetch-failed", "no such host", "see to it that npm reaches its registry", path, "--no-installed", "--may-fetch");

        Assert.False(Directory.Exists(folder.Data));
    }

    [Theory, MemberData(nameof(Users))]
    public async Task A_given_folder_without_PostgreSQL_fails_loudly_instead_of_looking_elsewhere(string user)
    {
        using var folder = new TestFolder(user);
        await RefusedAsync(folder, "binaries-folder", "it holds no postgres", "unset it", "--bin", "/nowhere");

        Assert.Empty(folder.Contents());
    }

    [Theory, MemberData(nameof(Users))]
    public async Task A_PostgreSQL_too_old_for_the_program_is_refused(string user)
    {
        using var folder = new TestFolder(user);
        var bin = await FakeAsync(folder, initdb: "exit 1");
        folder.Script("bin", "postgres", "echo 'postgres (PostgreSQL) 11.22'");

        await RefusedAsync(folder, "binaries-too-old", "11.22", "Name a newer one", "--bin", bin);

        Assert.False(Directory.Exists(folder.Data));
    }

    [Theory, MemberData(nameof(Users))]
    public async Task A_failing_initdb_is_quoted_and_leaves_nothing(string user)
    {
        using var folder = new TestFolder(user);
        var real = await RealAsync();
        // A real initdb that may write no file longer than 512 kB: it fails in the middle.
        var bin = await FakeAsync(folder, initdb: $"ulimit -f 1000; exec '{real.Program("initdb")}' \"$@\"");

        await RefusedAsync(folder, "initdb-failed", "initdb", "Nothing was kept", "--bin", bin);

        Assert.False(Directory.Exists(folder.Data));
        await using var later = await HolderProcess.ReadyAsync(folder);
        Assert.Equal(1, await later.AskAsync("SELECT 1"));
    }

    [Theory, MemberData(nameof(Users))]
    public async Task A_disk_that_fills_up_while_the_cluster_is_made_is_named_and_nothing_stays(string user)
    {
        using var folder = new TestFolder(user);
        var bin = await FakeAsync(folder, initdb: "echo 'initdb: error: could not write to file: No space left on device' >&2; exit 1");

        await RefusedAsync(folder, "disk-full", "The disk is full", "Free some space", "--bin", bin);

        Assert.False(Directory.Exists(folder.Data));
    }

    [Theory, MemberData(nameof(Users))]
    public async Task Too_little_free_space_is_seen_before_anything_is_written(string user)
    {
        using var folder = new TestFolder(user);
        await RefusedAsync(folder, "disk-full", "MB are free", "Free some space", "--min-free", "1000000000000000");

        Assert.Empty(folder.Contents());
    }

    [Theory, MemberData(nameof(Users))]
    public async Task A_server_that_does_not_start_is_named_with_the_end_of_its_log_and_keeps_its_data(string user)
    {
        using var folder = new TestFolder(user);
        await using (var made = await HolderProcess.ReadyAsync(folder))
        {
            await made.AskAsync("CREATE TABLE kept (word text)");
            Assert.Equal("Stopped", await made.StopAsync());
        }
        var settings = Path.Combine(folder.Cluster, "postgresql.conf");
        var own = await File.ReadAllTextAsync(settings, TestContext.Current.CancellationToken);
        await File.AppendAllTextAsync(settings, "no_such_setting = on\n", TestContext.Current.CancellationToken);

        await RefusedAsync(folder, "start-failed", "no_such_setting", "start again");

        await File.WriteAllTextAsync(settings, own, TestContext.Current.CancellationToken);
        await using var again = await HolderProcess.ReadyAsync(folder);
        Assert.Equal(0L, await again.AskAsync("SELECT count(*) FROM kept"));
    }

    [Theory, MemberData(nameof(Users))]
    public async Task A_lost_password_file_is_named_and_no_new_one_is_made_up(string user)
    {
        using var folder = new TestFolder(user);
        await using (var made = await HolderProcess.ReadyAsync(folder)) Assert.Equal("Stopped", await made.StopAsync());
        File.Delete(Path.Combine(folder.Data, "postgres", "password"));

        await RefusedAsync(folder, "password-missing", "its password file", "back from a backup");

        Assert.False(File.Exists(Path.Combine(folder.Data, "postgres", "password")));
        Assert.False(File.Exists(Path.Combine(folder.Cluster, "postmaster.pid")));
    }

    [Theory, MemberData(nameof(Users))]
    public async Task A_folder_name_that_a_shell_would_read_otherwise_is_refused(string user)
    {
        using var folder = new TestFolder(user);
        var (exitCode, errors) = await HolderProcess.Start(folder, Path.Combine(folder.Root, "$(id)"), []).FailedAsync();

        AssertNamed(exitCode, errors, "folder-name", "no double quote, dollar sign");
        Assert.Empty(folder.Contents());
    }

    static Task RefusedAsync(TestFolder folder, string code, string sentence, string remedy, params string[] more) =>
        RefusedAsync(folder, code, sentence, remedy, null, more);

    static async Task RefusedAsync(TestFolder folder, string code, string sentence, string remedy, SearchPath? path, params string[] more)
    {
        await using var holder = HolderProcess.Start(folder, folder.Data, more, path?.Value);
        var (exitCode, errors) = await holder.FailedAsync();
        AssertNamed(exitCode, errors, code, remedy);
        Assert.Contains(sentence, errors, StringComparison.Ordinal);
    }

    static void AssertNamed(int exitCode, string errors, string code, string remedy)
    {
        Assert.Contains($"unavailable {code}: ", errors, StringComparison.Ordinal);
        Assert.Contains(remedy, errors, StringComparison.Ordinal);
        Assert.Equal(DatabaseUnavailable.ExitCode, exitCode);
    }

    sealed record SearchPath(string Value);

    // The system's own tools that are needed, and no PostgreSQL.
    static SearchPath PathWithout(TestFolder folder)
    {
        foreach (var tool in new[] { "id", "stat", "chown" }) folder.Script("tools", tool, $"exec {TestFolder.Run("sh", "-c", $"command -v {tool}")} \"$@\"");
        return new(Path.Combine(folder.Root, "tools"));
    }

    static Task<PostgresBinaries> RealAsync() =>
        PostgresBinaries.FindAsync(new PostgresOptions { MayFetch = false }, null, "/nowhere", null, new Progress<string>(), TestContext.Current.CancellationToken);

    static async Task<string> FakeAsync(TestFolder folder, string initdb)
    {
        var real = await RealAsync();
        foreach (var program in new[] { "postgres", "pg_ctl" }) folder.Script("bin", program, $"exec '{real.Program(program)}' \"$@\"");
        return Path.GetDirectoryName(folder.Script("bin", "initdb", initdb))!;
    }
}
