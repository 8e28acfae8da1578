using System.Net;
using System.Net.Http.Headers;

namespace Custody.Server.Cosigning;

/// <summary>An answer from outside.</summary>
public sealed record OutsideAnswer(HttpStatusCode Status, string? Type, byte[] Body);

/// <summary>Somebody outside did not answer as asked; a later try may succeed.</summary>
public sealed class OutsideFault(string sentence, Exception? inner = null) : Exception(sentence, inner);

/// <summary>The only way by which this server asks others over the network: addresses that the keeper wrote down, https unless on this machine, no redirect
/// followed, few bytes read, and not for long.</summary>
public sealed class Outgoing : IDisposable
{
    /// <summary>Set to <c>allow</c>, plain http is asked beyond this machine too: some authorities answer only so. What they answer is signed either way.</summary>
    public const string PlainVariable = "CUSTODY_OUTSIDE_HTTP";

    const int MaxBytes = 64 << 10;
    static readonly TimeSpan Longest = TimeSpan.FromSeconds(10);

    readonly HttpClient http = new(new SocketsHttpHandler { AllowAutoRedirect = false, UseCookies = false, PooledConnectionLifetime = TimeSpan.FromMinutes(5) })
    {
        Timeout = Longest,
        MaxResponseContentBufferSize = MaxBytes,
    };

    /// <summary>Whether an address may be asked at all; a sentence why not.</summary>
    public static string? WhyNot(string address) => !Uri.TryCreate(address, UriKind.Absolute, out var uri) || uri.UserInfo.Length > 0 || uri.Fragment.Length > 0
        ? $"{address} is not an address of the web."
        : uri.Scheme == Uri.UriSchemeHttps || (uri.Scheme == Uri.UriSchemeHttp && (uri.IsLoopback || Environment.GetEnvironmentVariable(PlainVariable) == "allow")) ? null
        : $"{address} is neither https nor on this machine ({PlainVariable}=allow lets plain http pass).";

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
            throw new OutsideFault($"{new Uri(address).Host} did not answer as asked.", failure);
        }
    }

    public void Dispose() => http.Dispose();
}
