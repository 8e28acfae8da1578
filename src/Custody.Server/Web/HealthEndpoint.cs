using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Log;
using Custody.Server.Observing;
using Microsoft.AspNetCore.Mvc;
using Npgsql;
using Wolverine.Http;

namespace Custody.Server.Web;

/// <summary>How the server stands: each part in a word, and why not where it does not.</summary>
/// <param name="Published">Leaves under the newest checkpoint that this node published.</param>
/// <param name="Pending">Entries that wait for their place in the log.</param>
/// <param name="Cosigners">How cosigning the newest checkpoint asked for stands; null when this node asks nobody. Nothing waits for it.</param>
public sealed record Health(string Database, string Sequencer, long Published, long Pending, string? Cosigners, string? Reason);

[Anybody]
public static class HealthEndpoint
{
    /// <summary>200 when acts can be recorded and published from here or from another node; 503 with the reason otherwise.</summary>
    [WolverineGet("/health")]
    [ProducesResponseType<Health>(StatusCodes.Status200OK), ProducesResponseType<Health>(StatusCodes.Status503ServiceUnavailable), Refuses]
    public static async Task<IResult> Get(NpgsqlDataSource database, SequencerStanding sequencer, Cosigning.CosigningStanding cosigning, Recording.LedgerPlace place, CancellationToken ct)
    {
        var state = sequencer.State.ToString().ToLowerInvariant();
        try
        {
            var pending = await Pending(database, place, ct);
            // Acts are recorded all the same; they wait, and nothing of them may be given out until they are published.
            var reason = sequencer.Fault?.Message ?? sequencer.Trouble
                ?? (await Sequencer.IsLed(database, place, ct) ? null : "No node is sequencing: what is recorded waits until one does.");
            return Answer(new Health("up", state, sequencer.Published, pending, cosigning.Said, reason));
        }
        catch (NpgsqlException)
        {
            // The message can hold the server's address: the reason says only what is wrong.
            return Answer(new Health("down", state, sequencer.Published, 0, cosigning.Said, "The database does not answer."));
        }
    }

    /// <summary>200 when acts can be recorded here and published in time; 503 with every reason otherwise: sequencer and its lag, triggers, disk. Warnings are for the keeper and
    /// stop nothing: an audit that is due, a backup that fails.</summary>
    [WolverineGet("/ready"), Anybody]
    [ProducesResponseType<Standing>(StatusCodes.Status200OK), ProducesResponseType<Standing>(StatusCodes.Status503ServiceUnavailable), Refuses]
    public static async Task<IResult> Ready(Readiness readiness, CancellationToken ct)
    {
        var standing = await readiness.Look(ct);
        return Results.Json(standing, JsonText.Options, statusCode: standing.Reasons.Count == 0 ? StatusCodes.Status200OK : StatusCodes.Status503ServiceUnavailable);
    }

    static async Task<long> Pending(NpgsqlDataSource database, Recording.LedgerPlace place, CancellationToken ct)
    {
        await using var command = database.CreateCommand($"select count(*) from {place.Schema}.custody_pending");
        return (long)(await command.ExecuteScalarAsync(ct))!;
    }

    static IResult Answer(Health health) => Results.Json(health, JsonText.Options,
        statusCode: health.Reason is null ? StatusCodes.Status200OK : StatusCodes.Status503ServiceUnavailable);
}
