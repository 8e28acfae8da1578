using System.Collections.Concurrent;

namespace Custody.Server.Private;

/// <summary>What one of several processes over the same data folder may do at a time, and which of them live. The operating system holds the locks, so that
/// kill -9 lets go; where machines share the folder, its file system must pass locks on (NFS 4 does).</summary>
public sealed class NodeTurns
{
    static readonly TimeSpan Pause = TimeSpan.FromMilliseconds(20);
    static readonly ConcurrentDictionary<string, NodeTurns> Folders = new(StringComparer.Ordinal);

    readonly string folder;
    readonly Lazy<(string Name, FileStream Held)> self;

    NodeTurns(string folder)
    {
        this.folder = folder;
        self = new(Live);
    }

    /// <summary>The turns of one data folder: one object for each in a process, because a process lives once.</summary>
    public static NodeTurns In(string dataFolder) => Folders.GetOrAdd(Path.Combine(Path.GetFullPath(dataFolder), "nodes"), f => new(f));

    /// <summary>Name of this process among all that ever worked on this folder; from the first call on it is seen to live.</summary>
    public string Self => self.Value.Name;

    /// <summary>Takes a turn, to be let go by closing it; null while another process, or another caller in this one, has it.</summary>
    public IDisposable? TryTake(string name)
    {
        OwnerOnly.Folder(folder);
        return TryHold(Path.Combine(folder, name + ".turn"));
    }

    /// <summary>Waits for a turn.</summary>
    /// <exception cref="IOException">Nobody let go of it for so long: whoever has it is stuck, or frozen.</exception>
    public async Task<IDisposable> Take(string name, TimeSpan longest, CancellationToken ct)
    {
        for (var waited = TimeSpan.Zero; waited < longest; waited += Pause)
        {
            if (TryTake(name) is { } mine) return mine;
            await Task.Delay(Pause, ct);
        }
        throw new IOException($"Another process has had its turn at \"{name}\" for {longest.TotalSeconds:0} seconds.");
    }

    /// <summary>Removes the folders inside <paramref name="shared"/> that are named for processes which are gone.</summary>
    public void SweepAfterTheDead(string shared)
    {
        if (!Directory.Exists(shared)) return;
        foreach (var left in Directory.EnumerateDirectories(shared))
        {
            var mark = MarkOf(Path.GetFileName(left));
            using (var dead = File.Exists(mark) ? TryHold(mark) : null)
                if (dead is null && File.Exists(mark)) continue;
            Directory.Delete(left, recursive: true);
            File.Delete(mark);
        }
    }

    (string, FileStream) Live()
    {
        OwnerOnly.Folder(folder);
        while (true)
        {
            var name = Guid.NewGuid().ToString("N");
            // Whoever sweeps may hold a mark in the moment between its making and its locking: then another one is made.
            if (TryHold(MarkOf(name)) is { } held) return (name, held);
        }
    }

    string MarkOf(string name) => Path.Combine(folder, name + ".lives");

    static FileStream? TryHold(string path)
    {
        try
        {
            return new FileStream(path, FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None, bufferSize: 1);
        }
        catch (IOException held) when (held.HResult is 11 or 35 or unchecked((int)0x80070020))
        {
            // EWOULDBLOCK of Linux and of macOS, ERROR_SHARING_VIOLATION of Windows: somebody else has it.
            return null;
        }
    }
}
