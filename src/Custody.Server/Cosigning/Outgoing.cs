using System.Net;
using System.Net.Http.Headers;
using System.Net.Sockets;
using Custody.Server.Configuring;

namespace Custody.Server.Cosigning;

/// <summary>An answer from outside.</summary>
public sealed record OutsideAnswer(HttpStatusCode Status, string? Type, byte[] Body);

/// <summary>Somebody outside did not answer as asked; a later try may succeed.</summary>
public sealed class OutsideFault(string sentence, Exception? inner = null) : Exception(sentence, inner);

/// <summary>The only way by which this server asks others over the network: addresses that the keeper wrote down, https unless on this machine, no redirect
/// followed, few bytes read, and not for long.</summary>
public sealed class Outgoing : IDisposable
{
    const int MaxBytes = 64 << 10;
    static readonly TimeSpan Longest = TimeSpan.FromSeconds(10);

    readonly HttpClient http;

    /// <param name="resolve">Finds the addresses of a host; the system's own way when left out.</param>
    public Outgoing(Func<string, CancellationToken, Task<IPAddress[]>>? resolve = null)
    {
        resolve ??= Dns.GetHostAddressesAsync;
        http = new(new SocketsHttpHandler
        {
            AllowAutoRedirect = false,
            UseCookies = false,
            PooledConnectionLifetime = TimeSpan.FromMinutes(5),
            ConnectCallback = async (connecting, ct) => await Connect(connecting.DnsEndPoint, resolve, ct),
        })
        {
            Timeout = Longest,
            MaxResponseContentBufferSize = MaxBytes,
        };
    }

    /// <summary>Whether an address may be asked at all; a sentence why not.</summary>
    public static string? WhyNot(string address) => !Uri.TryCreate(address, UriKind.Absolute, out var uri) || uri.UserInfo.Length > 0 || uri.Fragment.Length > 0
        ? $"{address} is not an address of the web."
        : IPAddress.TryParse(uri.IdnHost, out var literal) && OutOfBounds.Holds(literal) ? $"{address} is an address that nobody outside can have."
        : uri.Scheme == Uri.UriSchemeHttps || (uri.Scheme == Uri.UriSchemeHttp && (uri.IsLoopback || Settings.OutsideHttp.In(Environment.GetEnvironmentVariable) == "allow")) ? null
        : $"{address} is neither https nor on this machine ({Settings.OutsideHttp.Name}=allow lets plain http pass).";

    /// <summary>Posts a body.</summary>
    /// <exception cref="OutsideFault">Refused address, no answer in time, or too long a one.</exception>
    public async Task<OutsideAnswer> Post(string address, byte[] body, string type, CancellationToken ct)
    {
        if (WhyNot(address) is { } refused) throw new OutsideFault(refused);
        using ByteArrayContent content = new(body);
        content.Headers.ContentType = new MediaTypeHeaderValue(type);
        try
        {
            using var answer = await http.PostAsync(new Uri(address), content, ct);
            return new(answer.StatusCode, answer.Content.Headers.ContentType?.MediaType, await answer.Content.ReadAsByteArrayAsync(ct));
        }
        catch (Exception failure) when (failure is HttpRequestException or IOException || (failure is OperationCanceledException && !ct.IsCancellationRequested))
        {
            if (failure.InnerException is OutsideFault outOfBounds) throw outOfBounds;
            throw new OutsideFault($"{new Uri(address).Host} did not answer as asked.", failure);
        }
    }

    // Asked of the very addresses that are then connected to, so that a name cannot mean one thing when it is looked at and another when it is used.
    static async Task<Stream> Connect(DnsEndPoint to, Func<string, CancellationToken, Task<IPAddress[]>> resolve, CancellationToken ct)
    {
        var addresses = IPAddress.TryParse(to.Host, out var literal) ? [literal] : await resolve(to.Host, ct);
        if (addresses.Any(OutOfBounds.Holds)) throw new OutsideFault($"{to.Host} leads to an address that nobody outside can have.");
        Socket socket = new(SocketType.Stream, ProtocolType.Tcp) { NoDelay = true };
        try
        {
            await socket.ConnectAsync(addresses, to.Port, ct);
            return new NetworkStream(socket, ownsSocket: true);
        }
        catch
        {
            socket.Dispose();
            throw;
        }
    }

    public void Dispose() => http.Dispose();
}
