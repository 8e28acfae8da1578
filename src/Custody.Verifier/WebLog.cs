using System.Globalization;
using System.Net;
using System.Net.Http;
using Custody.Ledger;
using Custody.Transparency;

namespace Custody.Verifier;

/// <summary>The checker's one doorway to a network: reads a public log at the address that the reader gave, and nothing else. It sends no name, cookie or
/// credential, follows no redirect, takes no more bytes than a file of the log can have and waits no longer than it was told to.</summary>
sealed class WebLog : IPublicLog, IDisposable
{
    /// <summary>Files under way at once, so that a long way to the server is not paid for each of them.</summary>
    const int AtOnce = 8;

    /// <summary>Longest checkpoint read: three lines and room for many cosignatures.</summary>
    const int MaxCheckpoint = 1 << 16;

    readonly Uri prefix;
    readonly TimeSpan patience;
    readonly HttpClient http;

    /// <param name="prefix">The log's address; ends in a slash.</param>
    /// <param name="patience">Longest time for one file, from asking to its last byte.</param>
    internal WebLog(Uri prefix, TimeSpan patience)
    {
        (this.prefix, this.patience) = (prefix, patience);
        http = new(new SocketsHttpHandler
        {
            AllowAutoRedirect = false,
            UseCookies = false,
            AutomaticDecompression = DecompressionMethods.None,
            UseProxy = !prefix.IsLoopback,
            MaxConnectionsPerServer = AtOnce,
        })
        { Timeout = Timeout.InfiniteTimeSpan };
    }

    /// <summary>Reads an address; null when it is none that a log can have.</summary>
    internal static Uri? Address(string text) =>
        Uri.TryCreate(text.EndsWith('/') ? text : text + "/", UriKind.Absolute, out var uri) && uri.Scheme is "http" or "https"
            && uri is { UserInfo: "", Query: "", Fragment: "", Host.Length: > 0 } ? uri : null;

    public ReadOnlyMemory<byte> Checkpoint() => Get("checkpoint", MaxCheckpoint, default).GetAwaiter().GetResult();

    public IEnumerable<ReadOnlyMemory<byte>> Read(IEnumerable<Tile> tiles)
    {
        using CancellationTokenSource stop = new();
        Queue<Task<ReadOnlyMemory<byte>>> underWay = new();
        try
        {
            foreach (var tile in tiles)
            {
                underWay.Enqueue(Get(tile, stop.Token));
                if (underWay.Count == AtOnce) yield return underWay.Dequeue().GetAwaiter().GetResult();
            }
            while (underWay.Count > 0) yield return underWay.Dequeue().GetAwaiter().GetResult();
        }
        finally
        {
            // Whoever asked has seen enough, or one file failed: what the others would have said is of no use.
            stop.Cancel();
            Task.WhenAll(underWay).ContinueWith(_ => { }, TaskScheduler.Default).Wait();
        }
    }

    async Task<ReadOnlyMemory<byte>> Get(Tile tile, CancellationToken stop)
    {
        try
        {
            return await Get(tile.Path, tile.Length, stop).ConfigureAwait(false);
        }
        catch (LogUnavailable absent) when (absent.Code == "log-missing" && !tile.IsFull)
        {
            // A log may drop a partial tile once the tile is full (c2sp.org/tlog-tiles, "Partial Tiles"); the full one begins with the same bytes.
            var full = await Get(tile.Full.Path, tile.Full.Length, stop).ConfigureAwait(false);
            return full.Length == tile.Full.Length ? full[..tile.Length] : full;
        }
    }

    async Task<ReadOnlyMemory<byte>> Get(string path, int most, CancellationToken stop)
    {
        using var patient = CancellationTokenSource.CreateLinkedTokenSource(stop);
        patient.CancelAfter(patience);
        try
        {
            using var answer = await http.GetAsync(new Uri(prefix, path), HttpCompletionOption.ResponseHeadersRead, patient.Token).ConfigureAwait(false);
            if (Refused(path, answer.StatusCode) is { } refused) throw refused;
            await using var body = await answer.Content.ReadAsStreamAsync(patient.Token).ConfigureAwait(false);
            var bytes = new byte[most + 1];
            var read = await body.ReadAtLeastAsync(bytes, bytes.Length, throwOnEndOfStream: false, patient.Token).ConfigureAwait(false);
            return read <= most ? bytes.AsMemory(0, read) : throw new LogUnavailable("log-too-large", $"{path} is longer than any file of that name can be.");
        }
        catch (OperationCanceledException)
        {
            throw new LogUnavailable("log-timeout", string.Create(CultureInfo.InvariantCulture, $"{path} did not come within {patience.TotalSeconds} seconds."));
        }
        catch (Exception failure) when (failure is HttpRequestException or IOException)
        {
            throw new LogUnavailable("log-unreachable", $"{prefix.Authority} cannot be reached: {failure.Message}");
        }
    }

    static LogUnavailable? Refused(string path, HttpStatusCode status) => (int)status switch
    {
        200 => null,
        404 or 410 => new("log-missing", $"{path} is not there."),
        >= 300 and < 400 => new("log-redirect", $"{path} is answered with a redirect, which is not followed: give the address that the ledger publishes."),
        var other => new("log-status", string.Create(CultureInfo.InvariantCulture, $"{path} is answered with status {other}.")),
    };

    public void Dispose() => http.Dispose();
}
