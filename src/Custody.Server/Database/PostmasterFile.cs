using System.Globalization;

namespace Custody.Server.Database;

/// <summary>
/// What a running server wrote about itself into postmaster.pid (PostgreSQL manual, "Database File Layout"): line 1 its
/// process, 2 the data folder, 4 the port, 5 the socket's folder or nothing, 6 the address listened on.
/// </summary>
sealed record PostmasterFile(int Pid, string DataFolder, int Port, string SocketFolder, string Address)
{
    /// <summary>Null: no server. Port 0: one that has not written the whole file yet.</summary>
    public static PostmasterFile? Read(PostgresFolder folder)
    {
        string[] lines;
        try
        {
            lines = File.ReadAllLines(PathIn(folder));
        }
        catch (IOException none) when (none is FileNotFoundException or DirectoryNotFoundException)
        {
            return null;
        }
        var pid = lines.Length > 0 && int.TryParse(lines[0], CultureInfo.InvariantCulture, out var number) ? number : 0;
        return lines.Length < 6 || !int.TryParse(lines[3], CultureInfo.InvariantCulture, out var port)
            ? new(pid, folder.Data, 0, "", "")
            : new(pid, lines[1], port, lines[4], lines[5]);
    }

    public static string PathIn(PostgresFolder folder) => Path.Combine(folder.Data, "postmaster.pid");

    /// <summary>What a client names as host: the socket's folder, otherwise the address.</summary>
    public string Host => SocketFolder.Length > 0 ? SocketFolder : Address;
}
