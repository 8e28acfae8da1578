using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Recording;

namespace Custody.Server.Web;

/// <summary>From a request to the recorder and back: the doorway's only code. No rule stands here.</summary>
public sealed class ActDoor(Recorder recorder, Drawing drawing)
{
    public const string KeyHeader = "Idempotency-Key";

    /// <summary>Records one command on the stream <c>kind/id</c>.</summary>
    public Task<IResult> Act(string kind, string id, Command command, HttpContext http) =>
        StreamName.TryParse($"{kind}/{id}", out var stream)
            ? Act([new Step(stream, command)], http)
            : Task.FromResult(Problems.NotFound($"{kind}/{id}"));

    /// <summary>Records a command that begins a stream, under a name drawn here. A repeated submission draws the same name.</summary>
    public Task<IResult> Begin(string kind, Command command, HttpContext http)
    {
        string? key = http.Request.Headers[KeyHeader];
        var stream = drawing.Stream(kind, key);
        return Act([new Step(stream, command switch
        {
            RegisterBat { ShortNumber: null } bat => bat with { ShortNumber = drawing.ShortNumber(key) },
            // The first party of a ledger, and any other, may be recorded by itself.
            RecordParty party when party.By == PartyId.Ledger => party with { By = new PartyId(stream) },
            _ => command,
        })], http);
    }

    /// <summary>Records an act of several steps: all of it or nothing.</summary>
    public async Task<IResult> Act(IReadOnlyList<Step> steps, HttpContext http)
    {
        if (!TryRequest(http.Request, out var request, out var refusal)) return Problems.Refused([refusal]);
        if (steps.Any(s => !ActingParty.MayAct(Viewer.Of(http.User), s.Command, s.Stream))) return Problems.Refused([ActingParty.NotYours]);
        return Answer(await recorder.Record(steps, request, http.RequestAborted), steps[0].Stream);
    }

    static IResult Answer(Outcome outcome, StreamName stream) => outcome switch
    {
        Recorded { Again: false } recorded => Results.Json(recorded.Entries, JsonText.Options, statusCode: StatusCodes.Status201Created),
        Recorded again => Results.Json(again.Entries, JsonText.Options),
        Refused refused => Problems.Refused(refused.Refusals),
        Conflicted conflicted => Problems.Conflict(conflicted.Stream),
        _ => Problems.NotFound(stream.ToString()),
    };

    /// <summary>If-Match carries the number of the last entry the asker saw; Idempotency-Key names the submission.</summary>
    static bool TryRequest(HttpRequest http, out Request request, out Refusal refusal)
    {
        request = new Request();
        refusal = new("header-unreadable", "A header of the request cannot be read.", "Send Idempotency-Key as 1 to 200 printable ASCII characters and If-Match as an entry number in quotes.");
        string? key = http.Headers[KeyHeader];
        if (key is not null && (key.Length is 0 or > 200 || key.Any(c => c is < ' ' or > '~'))) return false;
        string? match = http.Headers.IfMatch;
        long n = 0;
        if (match is not null && !long.TryParse(match.Trim('"'), System.Globalization.NumberStyles.None, System.Globalization.CultureInfo.InvariantCulture, out n)) return false;
        request = new Request(key, match is null ? null : n);
        return true;
    }
}
