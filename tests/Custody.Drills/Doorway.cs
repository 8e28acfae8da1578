using System.Net;
using System.Text;
using System.Text.Json.Nodes;

namespace Custody.Drills;

/// <summary>One entry as the server told it.</summary>
sealed record Told(string Stream, long N, string Hash);

/// <summary>The server's door, as a client on a bad line uses it: the same submission under the same key until there is an answer.</summary>
/// <param name="houses">Nodes of one ledger; whoever gets no answer from one asks the next, as a balancer before them would.</param>
/// <param name="token">Of an account that may record.</param>
sealed class Doorway(IReadOnlyList<House> houses, string token)
{
    readonly HttpClient[] nodes = [.. houses.Select(h => Client(h.Url, token))];
    int turn;

    public Doorway(House house, string token) : this([house], token)
    {
    }

    // The one place where a request learns who asks.
    static HttpClient Client(Uri url, string token)
    {
        HttpClient client = new() { BaseAddress = url, Timeout = TimeSpan.FromSeconds(15) };
        client.DefaultRequestHeaders.Authorization = new("Bearer", token);
        return client;
    }

    /// <summary>Submits until it is answered.</summary>
    /// <exception cref="DrillFault">The server refuses: the drill sends nothing that may be refused.</exception>
    public async Task<IReadOnlyList<Told>> Submit(string path, string body, string key, CancellationToken ct)
    {
        while (true)
        {
            if (await Try(nodes[(int)((uint)Interlocked.Increment(ref turn) % nodes.Length)], path, body, key, ct) is { } told) return told;
            await Task.Delay(50, ct);
        }
    }

    static async Task<IReadOnlyList<Told>?> Try(HttpClient http, string path, string body, string key, CancellationToken ct)
    {
        try
        {
            using HttpRequestMessage request = new(HttpMethod.Post, path) { Content = new StringContent(body, Encoding.UTF8, "application/json") };
            request.Headers.Add("Idempotency-Key", key);
            using var answer = await http.SendAsync(request, ct);
            var text = await answer.Content.ReadAsStringAsync(ct);
            return answer.StatusCode switch
            {
                HttpStatusCode.Created or HttpStatusCode.OK => [.. JsonNode.Parse(text)!.AsArray().Select(e => new Told((string)e!["stream"]!, (long)e["n"]!, (string)e["hash"]!))],
                // Somebody else was quicker on this stream, or the house is just not well: nothing was recorded, or nobody knows.
                HttpStatusCode.Conflict or HttpStatusCode.TooManyRequests or >= HttpStatusCode.InternalServerError => null,
                _ => throw new DrillFault($"{path} was refused: {(int)answer.StatusCode} {text}"),
            };
        }
        catch (Exception unanswered) when (unanswered is HttpRequestException or IOException || (unanswered is TaskCanceledException && !ct.IsCancellationRequested))
        {
            return null;
        }
    }
}
