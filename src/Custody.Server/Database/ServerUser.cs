namespace Custody.Server.Database;

/// <summary>Who PostgreSQL runs as. It refuses to run as root, so root starts it as somebody else.</summary>
static class ServerUser
{
    static readonly TimeSpan Limit = TimeSpan.FromSeconds(20);

    public static bool IsRoot => !OperatingSystem.IsWindows() && Environment.IsPrivilegedProcess;

    /// <summary>
    /// Null: as ourselves. For root: whoever owns the cluster already there, otherwise `postgres`, otherwise `nobody`.
    /// </summary>
    public static async Task<string?> ForAsync(PostgresFolder folder, CancellationToken ct)
    {
        if (!IsRoot) return null;
        if (folder.HasCluster) return await OwnerOfClusterAsync(folder, ct);
        foreach (var name in new[] { "postgres", "nobody" })
        {
            if ((await Command.RunAsync("id", ["-u", name], null, "/", Limit, ct)).Ok) return name;
        }
        throw new DatabaseUnavailable("no-ordinary-user",
            "PostgreSQL does not run as root, and this machine has neither a user `postgres` nor a user `nobody`.",
            "Add a user `postgres`, or start the program as an ordinary user.");
    }

    /// <summary>Gives a file or folder, freshly made by us and no link, to the user.</summary>
    public static async Task GiveAsync(string path, string user, CancellationToken ct)
    {
        // "user:" also sets the user's own group.
        var done = await Command.RunAsync("chown", [user + ":", path], null, "/", Limit, ct);
        if (!done.Ok)
            throw new DatabaseUnavailable("folder-unwritable", $"{path} cannot be given to the user {user} ({done.Tail}).",
                "Choose a data folder on a file system that knows owners, or start the program as an ordinary user.");
    }

    public static async Task<string> OwnerOfAsync(string path, CancellationToken ct)
    {
        string[] ask = OperatingSystem.IsMacOS() ? ["-f", "%Su", path] : ["-c", "%U", path];
        return (await Command.RunAsync("stat", ask, null, "/", Limit, ct)).Output.Trim();
    }

    static async Task<string> OwnerOfClusterAsync(PostgresFolder folder, CancellationToken ct)
    {
        var owner = await OwnerOfAsync(folder.Data, ct);
        if (owner is not ("root" or "UNKNOWN" or "")) return owner;
        throw new DatabaseUnavailable("folder-owner",
            $"The cluster in {folder.Data} belongs to {(owner == "root" ? "root" : "a user this machine does not know")}, as whom PostgreSQL cannot run.",
            $"Give it to an ordinary user: chown -R postgres: {folder.Data}");
    }
}
