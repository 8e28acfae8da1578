using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Net.Sockets;

namespace Custody.Drills;

/// <summary>The server as a process of its own, with its private PostgreSQL, over one data folder; several of them may stand over one folder as its nodes.</summary>
sealed class House : IAsyncDisposable
{
    static readonly TimeSpan StartLimit = TimeSpan.FromMinutes(3);

    readonly string name;
    string server;
    readonly HttpClient http = new() { Timeout = TimeSpan.FromSeconds(5) };
    Process? process;
    int starts;

    /// <param name="server">Path of Custody.Server.dll.</param>
    /// <param name="name">What its logs are called by.</param>
    public House(string server, string data, string name = "server")
    {
        (this.server, Data, this.name) = (server, data, name);
        Cluster = new(data);
        // A port that was free a moment ago; the same at every start, so that clients find the server again.
        using var probe = new TcpListener(IPAddress.Loopback, 0);
        probe.Start();
        Url = new($"http://127.0.0.1:{((IPEndPoint)probe.LocalEndpoint).Port.ToString(CultureInfo.InvariantCulture)}");
    }

    public string Data { get; }
    public Uri Url { get; }
    public Cluster Cluster { get; }

    /// <summary>Starts it and waits until it is healthy.</summary>
    public async Task Start(CancellationToken ct)
    {
        Launch();
        await Healthy(ct);
    }

    /// <summary>Starts it, and does not wait.</summary>
    public void Launch() => process = Run(["serve", "--urls", Url.ToString()], string.Create(CultureInfo.InvariantCulture, $"{Data}-log/{name}-{++starts}.log"));

    /// <summary>From its next start on it is another build.</summary>
    public void Becomes(string other) => server = other;

    public bool Runs => process is { HasExited: false };

    /// <summary>The process stands still with all it holds, as on a machine that is frozen and goes on later.</summary>
    public Task Freeze(CancellationToken ct) => Signal("STOP", ct);

    public Task Thaw(CancellationToken ct) => Signal("CONT", ct);

    /// <summary>Kill -9, and gone when this returns.</summary>
    public async Task Kill()
    {
        process!.Kill();
        await process.WaitForExitAsync();
    }

    /// <summary>Waits until acts can be recorded and published.</summary>
    public async Task Healthy(CancellationToken ct)
    {
        for (var since = Stopwatch.StartNew(); since.Elapsed < StartLimit; await Task.Delay(50, ct))
        {
            if (process!.HasExited) throw new DrillFault($"The server ended by itself with {process.ExitCode.ToString(CultureInfo.InvariantCulture)} (start {starts.ToString(CultureInfo.InvariantCulture)}).");
            if (await Ask(ct) is { IsSuccessStatusCode: true }) return;
        }
        throw new DrillFault($"The server was not healthy for {StartLimit.TotalSeconds:0} seconds.");
    }

    /// <summary>Waits until everything recorded has its place in the log.</summary>
    public async Task Quiet(CancellationToken ct)
    {
        for (var since = Stopwatch.StartNew(); since.Elapsed < StartLimit; await Task.Delay(100, ct))
            if (await Ask(ct) is { IsSuccessStatusCode: true } well && (await well.Content.ReadAsStringAsync(ct)).Contains("\"pending\":0", StringComparison.Ordinal)) return;
        throw new DrillFault("Entries still wait for their place in the log.");
    }

    async Task<HttpResponseMessage?> Ask(CancellationToken ct)
    {
        try
        {
            return await http.GetAsync(new Uri(Url, "/health"), ct);
        }
        catch (Exception away) when (away is HttpRequestException or IOException || (away is TaskCanceledException && !ct.IsCancellationRequested))
        {
            return null;
        }
    }

    /// <summary>Starts a command beside the server and kills it on its way, or lets it end when it is quicker.</summary>
    public async Task Broken(IReadOnlyList<string> command, Random random, CancellationToken ct)
    {
        using var other = Run(command, $"{Data}-log/{command[0]}.log");
        using var until = CancellationTokenSource.CreateLinkedTokenSource(ct);
        until.CancelAfter(random.Next(500, 4000));
        try
        {
            await other.WaitForExitAsync(until.Token);
        }
        catch (OperationCanceledException)
        {
            other.Kill();
            await other.WaitForExitAsync(CancellationToken.None);
        }
        ct.ThrowIfCancellationRequested();
    }

    /// <summary>Asks it politely to end (SIGTERM), and waits.</summary>
    public async Task Stop(CancellationToken ct)
    {
        if (process is not { HasExited: false }) return;
        await Signal("TERM", ct);
        await process.WaitForExitAsync(ct);
    }

    async Task Signal(string signal, CancellationToken ct)
    {
        using var kill = Process.Start("kill", ["-" + signal, process!.Id.ToString(CultureInfo.InvariantCulture)]);
        await kill.WaitForExitAsync(ct);
    }

    /// <summary>The body of an answer, whatever its status; null when nothing answered.</summary>
    public async Task<string?> Health(CancellationToken ct) => await Ask(ct) is { } answer ? await answer.Content.ReadAsStringAsync(ct) : null;

    /// <summary>Audits what is stored, states and files included.</summary>
    /// <returns>Whether nothing was found.</returns>
    public async Task<bool> Audit(CancellationToken ct)
    {
        var log = $"{Data}-log/audit.log";
        using var audit = Run(["audit", "--states"], log);
        await audit.WaitForExitAsync(ct);
        if (audit.ExitCode != 0) Console.WriteLine(await File.ReadAllTextAsync(log, ct));
        return audit.ExitCode == 0;
    }

    /// <summary>Makes an account for the drill's clients.</summary>
    /// <returns>Its token.</returns>
    public Task<string> Account(string name, string role, string? party, CancellationToken ct) =>
        Say(["account", "program", name, "--role", role, .. party is null ? Array.Empty<string>() : ["--party", party], "--for", "drill"], ct);

    /// <summary>Runs a command to its end.</summary>
    /// <returns>What it said.</returns>
    public async Task<string> Say(IReadOnlyList<string> command, CancellationToken ct)
    {
        ProcessStartInfo start = new("dotnet", [server, .. command, "--data", Data]) { RedirectStandardOutput = true };
        using var process = Process.Start(start)!;
        var said = (await process.StandardOutput.ReadToEndAsync(ct)).Trim();
        await process.WaitForExitAsync(ct);
        return process.ExitCode == 0 ? said : throw new DrillFault($"'{string.Join(' ', command)}' ended with {process.ExitCode.ToString(CultureInfo.InvariantCulture)}.");
    }

    Process Run(IReadOnlyList<string> command, string log)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(log)!);
        // Through a shell only for the log: exec leaves one process, whose number is the server's.
        ProcessStartInfo start = new("/bin/sh", ["-c", "exec dotnet \"$0\" \"$@\" >>\"$LOG\" 2>&1", server, .. command, "--data", Data]);
        start.Environment["LOG"] = log;
        return Process.Start(start)!;
    }

    public async ValueTask DisposeAsync()
    {
        http.Dispose();
        if (process is { HasExited: false }) await Kill();
        await Cluster.KillPostmaster();
        process?.Dispose();
    }
}
