namespace Custody.Server.Database;

/// <summary>What became of the server when its handle was given back.</summary>
public enum StopOutcome
{
    /// <summary>Nobody else used it: it was shut down and has written everything out.</summary>
    Stopped,

    /// <summary>Another process still works on the same data folder; the last one out stops it.</summary>
    LeftRunning,
}

/// <summary>A database that answers, for as long as the handle is held.</summary>
public interface IPostgresHandle : IAsyncDisposable
{
    /// <summary>For the program: an ordinary role that owns its database. Holds a password: never print or log it.</summary>
    string ConnectionString { get; }

    /// <summary>One line for people: which server this is and where it keeps its data. Holds no secret.</summary>
    string Description { get; }

    /// <summary>Gives the server back. Close your own connections first. A second call does nothing.</summary>
    Task<StopOutcome> StopAsync(CancellationToken ct = default);
}

/// <summary>The one door: a given server when there is one, otherwise a private cluster in the data folder.</summary>
public static class PostgresServer
{
    /// <summary>Throws <see cref="DatabaseUnavailable"/> with a sentence and a remedy when there is no database to be had.</summary>
    public static async Task<IPostgresHandle> OpenAsync(
        string dataFolder, PostgresOptions options, IProgress<string> progress, CancellationToken ct = default) =>
        options.ConnectionString is { } given
            ? await GivenPostgres.OpenAsync(given, ct)
            : await EmbeddedPostgres.StartOrAttachAsync(dataFolder, options, progress, ct);
}
