using Custody.Bats;
using Custody.Server.Log;
using Npgsql;
using Wolverine.Http;

namespace Custody.Server.Web;

/// <summary>How the server stands: each part in a word, and why not where it does not.</summary>
public sealed record Health(string Database, string Sequencer, long Published, long Pending, string? Reason);

public static class HealthEndpoint
{
    /// <summary>200 when acts can be recorded and published from here or from another node; 503 with the reason otherwise.</summary>
    [WolverineGet("/health")]
    public static async Task<IResult> Get(NpgsqlDataSource database, SequencerStanding sequencer, Recording.LedgerPlace place, CancellationToken ct)
    {
        var state = sequencer.State.ToString().ToLowerInvariant();
        try
        {
            await using var command = database.CreateCommand($"select count(*) from {place.Schema}.custody_pending");
            var pending = (long)(await command.ExecuteScalarAsync(ct))!;
            var health = new Health("up", state, sequencer.Published, pending, sequencer.Fault?.Message);
            return Results.Json(health, JsonText.Options, statusCode: sequencer.Fault is null ? 200 : 503);
        }
        catch (NpgsqlException)
        {
            // The message can hold the server's address: the reason says only what is wrong.
            return Results.Json(new Health("down", state, sequencer.Published, 0, "The database does not answer."), JsonText.Options, statusCode: 503);
        }
    }
}
