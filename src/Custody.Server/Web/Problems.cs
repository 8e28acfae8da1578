using Custody.Bats;
using Custody.Server.Recording;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.Web;

/// <summary>Problem details (RFC 9457) with the refusal's stable code.</summary>
static class Problems
{
    public static IResult Refused(IReadOnlyList<Refusal> refusals) =>
        Of(StatusCodes.Status422UnprocessableEntity, refusals[0], ("refusals", refusals));

    public static IResult Conflict(string stream) => Of(StatusCodes.Status409Conflict,
        new("conflict", $"Another act on {stream} came first. Nothing was recorded.", "Read the stream again and retry."));

    public static IResult NotFound(string stream) => Of(StatusCodes.Status404NotFound,
        new("unknown-stream", $"There is no {stream} in this ledger.", "Look the number up again, or register it first."));

    public static IResult NoBat(string said) => Of(StatusCodes.Status404NotFound,
        BatFinder.Unknown(said));

    public static IResult NotKnownThen(string said) => Of(StatusCodes.Status404NotFound,
        new("not-known-then", $"This ledger knew nothing of {said} at that time.", "Ask for a time after it was registered."));

    public static IResult NoEntry(string said) => Of(StatusCodes.Status404NotFound,
        new("unknown-entry", $"There was no such entry on {said}.", "Name an entry by its number, from 1 on."));

    public static IResult NotInLog() => Of(StatusCodes.Status404NotFound,
        new("not-in-log", "The log holds no such entry, or never signed such a size.", "Ask /log/checkpoints for the sizes; what was just recorded is there in a moment."));

    public static IResult Unreadable(Refusal refusal) => Of(StatusCodes.Status400BadRequest, refusal);

    public static IResult NoChallenge() => Of(StatusCodes.Status404NotFound,
        new("challenge-unknown", "No challenge has this code.", "Read the code again, or ask for a new challenge."));

    public static IResult NotSignedIn() => Of(StatusCodes.Status401Unauthorized,
        new("not-signed-in", "Nobody is signed in.", "Send a token in the Authorization header, or sign in."));

    public static IResult NotForYou() => Of(StatusCodes.Status403Forbidden,
        new("not-for-your-role", "Your account has no role that may do this.", "Ask the keeper for the role."));

    public static IResult NotYourPage() => Of(StatusCodes.Status400BadRequest,
        new("not-from-our-page", "The request was not sent from a page of this server.", "Load the page again and repeat it, or use a token."));

    public static IResult TooMany() => Of(StatusCodes.Status429TooManyRequests,
        new("too-many", "There were too many requests from this address in the last minute. Nothing was recorded.", "Wait as long as Retry-After says."));

    public static IResult NotNow(Refusal refusal) => Of(StatusCodes.Status503ServiceUnavailable, refusal);

    static IResult Of(int status, Refusal refusal, params (string Name, object? Value)[] more)
    {
        var problem = new ProblemDetails { Status = status, Title = refusal.Sentence, Detail = refusal.Remedy, Type = "urn:custody:refusal:" + refusal.Code };
        problem.Extensions["code"] = refusal.Code;
        foreach (var (name, value) in more) problem.Extensions[name] = value;
        return Results.Json(problem, JsonText.Options, "application/problem+json", status);
    }
}
