using Wolverine.Http;

namespace Custody.Server.Web;

/// <summary>Refuses a query that the address does not know, or that says one thing twice: a misspelt question would otherwise be answered as another one.</summary>
public sealed class StrictQuery(RequestDelegate next)
{
    public Task InvokeAsync(HttpContext http)
    {
        if (http.Request.Query.Count == 0 || http.GetEndpoint()?.Metadata.GetMetadata<HttpChain>()?.Method.Method is not { } method) return next(http);
        var known = method.GetParameters().Select(p => p.Name!).Except(http.Request.RouteValues.Keys, StringComparer.Ordinal).ToHashSet(StringComparer.Ordinal);
        var strange = http.Request.Query.FirstOrDefault(q => !known.Contains(q.Key) || q.Value.Count != 1).Key;
        return strange is null ? next(http) : Problems.Unreadable(
            new("query-unknown", $"The query \"{Shown(strange)}\" is not asked here, or is asked twice.", "Compare the address with the OpenAPI document.")).ExecuteAsync(http);
    }

    static string Shown(string name) => name.Length <= 40 && name.All(char.IsAsciiLetterOrDigit) ? name : "...";
}
