using Custody.Server.Log;
using Custody.Transparency;
using Microsoft.AspNetCore.Http.Features;

namespace Custody.Server.Cosigning;

/// <summary>This server as a cosigner of other ledgers (c2sp.org/tlog-witness), under the submission prefix <c>/cosign</c>. No account: a request is worth what
/// the ledger's signature under it is worth.</summary>
static partial class CosignFiles
{
    public static void MapCosigning(this IEndpointRouteBuilder app)
    {
        app.MapPost("/cosign/add-checkpoint", Add).WithMetadata(new Accounts.Anybody()).ExcludeFromDescription();
        app.MapGet("/cosign/{origin:regex(^[0-9a-f]{{64}}$)}/checkpoint", Last).WithMetadata(new Accounts.Anybody()).ExcludeFromDescription();
    }

    static async Task<IResult> Add(HttpContext http, CosignDesk desk, ILogger<CosignDesk> log)
    {
        if (http.Features.Get<IHttpMaxRequestBodySizeFeature>() is { IsReadOnly: false } limit) limit.MaxRequestBodySize = AddCheckpoint.MaxBytes;
        using MemoryStream body = new();
        await http.Request.Body.CopyToAsync(body, http.RequestAborted);
        CosignAnswer answer;
        try
        {
            answer = await desk.Answer(body.ToArray(), http.RequestAborted);
        }
        catch (Exception fault) when (fault is Malformed or LogFault)
        {
            // The keeper's own policy or key: nothing that whoever asks could mend, and nothing of it is told outside.
            Unable(log, fault.Message);
            return Results.StatusCode(StatusCodes.Status503ServiceUnavailable);
        }
        return answer.Body is { } text ? Results.Text(text, answer.Type, statusCode: answer.Status) : Results.StatusCode(answer.Status);
    }

    [LoggerMessage(1, LogLevel.Error, "Nothing can be cosigned here: {Sentence}")]
    static partial void Unable(ILogger log, string sentence);

    static async Task<IResult> Last(string origin, HttpContext http, CosignDesk desk) => LogFiles.Note(http, await desk.Last(origin, http.RequestAborted));
}
