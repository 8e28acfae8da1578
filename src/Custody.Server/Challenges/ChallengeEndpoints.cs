using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Accounts;
using Custody.Server.Recording;
using Custody.Server.Web;
using Microsoft.AspNetCore.Mvc;
using Wolverine.Http;

namespace Custody.Server.Challenges;

/// <summary>A buyer's challenge.</summary>
/// <param name="Words">Words of the buyer's own; not kept.</param>
public sealed record ChallengeAsked(string Words) : IAsked;

/// <summary>A holder's answer.</summary>
/// <param name="Code">As the buyer gave it.</param>
/// <param name="Bat">Short number or stream's identifier of the bat answered for.</param>
/// <param name="Words">The buyer's words, as the buyer gave them.</param>
/// <param name="Party">Who answers.</param>
/// <param name="Secret">That party's holder's secret.</param>
public sealed record ChallengeAnswered(string Code, string Bat, string Words, PartyId Party, string Secret) : IAsked;

/// <summary>A new challenge.</summary>
/// <param name="Code">To be given to the holder together with the words; told this once.</param>
public sealed record ChallengeMade(string Code, string Bat, DateTimeOffset Asked, DateTimeOffset Expires);

/// <summary>How a challenge stands.</summary>
/// <param name="Says">What it proves, and nothing more.</param>
public sealed record ChallengeRead(string Bat, ChallengeStanding Standing, DateTimeOffset Asked, DateTimeOffset Expires, DateTimeOffset? Answered, string Says);

/// <summary>Challenging whoever says that they hold title to a bat.</summary>
[Anybody]
public static class ChallengeEndpoints
{
    /// <summary>Make a challenge for a bat: a code to give to the holder together with words of one's own.</summary>
    [WolverinePost("/api/bats/{id}/challenge")]
    [ProducesResponseType<ChallengeMade>(StatusCodes.Status201Created), Refuses(400, 404, 422)]
    public static async Task<IResult> Ask(string id, ChallengeAsked asked, BatFinder bats, ChallengeDesk desk, HttpContext http)
    {
        if (await bats.Find(id, http.RequestAborted) is not { } bat) return Problems.NoBat(id);
        var (made, refused) = await desk.Ask(bat, asked.Words, http.RequestAborted);
        return made is null ? Problems.Refused([refused!]) : Answer(http,
            new ChallengeMade(made.Code, bat.Registration!.ShortNumber, made.Challenge.Asked, made.Challenge.Expires), StatusCodes.Status201Created);
    }

    /// <summary>Answer a challenge for the account of a holder of title. Counts once, within the hour.</summary>
    [WolverinePost("/api/challenges/answer")]
    [ProducesResponseType<ChallengeRead>(StatusCodes.Status200OK), Refuses(400, 422)]
    public static async Task<IResult> Answer(ChallengeAnswered given, HolderSecrets secrets, ChallengeDesk desk, BatFinder bats, LedgerName ledger, HttpContext http)
    {
        // Before anything is said of the challenge: a stranger learns nothing about it here.
        if (!await secrets.Fits(given.Party, given.Secret, http.RequestAborted))
            return Problems.Refused([new("holder-unknown", "This is not the secret of that party.", "Give the secret that the house issued, or have a new one issued.")]);
        var (done, refused) = await desk.Answer(given.Party, given.Code, given.Bat, given.Words, http.RequestAborted);
        return done is null ? Problems.Refused([refused!]) : Answer(http, await Read(done, bats, ledger, desk.Now, http.RequestAborted), StatusCodes.Status200OK);
    }

    /// <summary>How a challenge stands, for whoever has its code.</summary>
    [WolverineGet("/api/challenges/{code}")]
    [ProducesResponseType<ChallengeRead>(StatusCodes.Status200OK)]
    public static async Task<IResult> Look(string code, ChallengeDesk desk, BatFinder bats, LedgerName ledger, HttpContext http) =>
        await desk.Look(code, http.RequestAborted) is { } challenge
            ? Answer(http, await Read(challenge, bats, ledger, desk.Now, http.RequestAborted), StatusCodes.Status200OK)
            : Problems.NoChallenge();

    static async Task<ChallengeRead> Read(HolderChallenge challenge, BatFinder bats, LedgerName ledger, DateTimeOffset now, CancellationToken ct)
    {
        var number = (await bats.Find(challenge.Bat.ToString(), ct))!.Registration!.ShortNumber;
        return new(number, challenge.Standing(now), challenge.Asked, challenge.Expires, challenge.Answered, challenge.Said(ledger.Origin, number, now));
    }

    static IResult Answer<T>(HttpContext http, T answer, int status)
    {
        http.Response.Headers.CacheControl = "no-store";
        return Results.Json(answer, JsonText.Options, statusCode: status);
    }
}
