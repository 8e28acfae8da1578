using System.Globalization;
using Custody.Server.Configuring;

namespace Custody.Server.Database;

/// <summary>How to come by PostgreSQL. Everything left alone is a private, durable cluster in the data folder.</summary>
public sealed record PostgresOptions
{
    /// <summary>A server somebody else runs, in Npgsql's `Key=Value;...` form. No private cluster is started then.</summary>
    public string? ConnectionString { get; init; }

    /// <summary>The folder holding `postgres`, `initdb` and `pg_ctl`. Nothing else is tried when it is given.</summary>
    public string? BinFolder { get; init; }

    /// <summary>
    /// A TCP port on 127.0.0.1 for the private cluster, 0 for any free one. Null: a Unix socket, or any free port where
    /// the system has none.
    /// </summary>
    public int? LoopbackPort { get; init; }

    /// <summary>False gives up safety against power cuts for speed. Only for tests, never for anybody's records.</summary>
    public bool Durable { get; init; } = true;

    /// <summary>Whether PostgreSQL may be fetched as a package, once, when none is installed.</summary>
    public bool MayFetch { get; init; } = true;

    /// <summary>Where to look after PATH; `*` stands for one folder's name, and the highest version is tried first.</summary>
    public IReadOnlyList<string> InstallFolders { get; init; } =
    [
        "/usr/lib/postgresql/*/bin", "/usr/pgsql-*/bin", "/usr/local/pgsql/bin",
        "/opt/homebrew/opt/postgresql@*/bin", "/usr/local/opt/postgresql@*/bin",
        "/Applications/Postgres.app/Contents/Versions/*/bin", @"C:\Program Files\PostgreSQL\*\bin",
    ];

    /// <summary>Free space, in bytes, that a new cluster asks for: itself (40 MB), its first log files and some air.</summary>
    public long MinimumFreeBytes { get; init; } = 200_000_000;

    /// <summary>How long to wait for a start, for crash recovery, or for another process busy with the same folder.</summary>
    public TimeSpan StartTimeout { get; init; } = TimeSpan.FromSeconds(120);

    /// <summary>
    /// Reads CUSTODY_POSTGRES (connection string), CUSTODY_POSTGRES_BIN (folder), CUSTODY_POSTGRES_PORT (private cluster
    /// on this loopback port) and CUSTODY_POSTGRES_FETCH (`no`: fetch nothing). Throws <see cref="DatabaseUnavailable"/>
    /// when the port is not a port.
    /// </summary>
    public static PostgresOptions FromEnvironment(Func<string, string?> variable) => new()
    {
        ConnectionString = Settings.Postgres.In(variable),
        BinFolder = Settings.PostgresBin.In(variable),
        MayFetch = Settings.PostgresFetch.OneOf(variable, "yes", "no") == "yes",
        LoopbackPort = Port(Settings.PostgresPort.In(variable)),
    };

    static int? Port(string? text)
    {
        if (text is null) return null;
        if (ushort.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var port)) return port;
        throw new DatabaseUnavailable("port-malformed",
            $"CUSTODY_POSTGRES_PORT is \"{text}\", which is not a port number.",
            "Give a number from 1 to 65535, or 0 for any free port.");
    }
}
