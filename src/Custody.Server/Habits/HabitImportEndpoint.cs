using System.Text;
using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Web;
using Microsoft.AspNetCore.Mvc;
using Wolverine.Http;

namespace Custody.Server.Habits;

/// <summary>Occasions and usual zones by the file.</summary>
[MayUse(AccountRole.Examiner)]
public static class HabitImportEndpoint
{
    const int MaxBytes = 4 << 20;

    /// <summary>Imports occasions, or usual zones where there is a column <c>occasions</c>, from a CSV file given as the request's body (UTF-8, RFC 4180). Every row that is permitted is recorded; the others come back
    /// with their reasons, as a file to mend. Sending the same file again records nothing twice. <c>by</c> names who records it; the file's keeper unless said.</summary>
    [WolverinePost("/api/habit-files/{id}/import")]
    [ProducesResponseType<ImportedRows>(StatusCodes.Status200OK), Refuses(400, 422)]
    public static async Task<IResult> Import(string id, string? by, HttpContext http, HabitImport import)
    {
        if (!StreamName.TryParse("habits/" + id, out var habits)) return Problems.NotFound("habits/" + id);
        PartyId? party = null;
        if (by is not null && !(StreamName.TryParse(by, out var name) && name.Kind == "party"))
            return Problems.Unreadable(new("party-unreadable", "The party named is not the name of a party's stream.", "Give party/ and 26 characters."));
        if (by is not null) party = PartyId.Parse(by);
        var (text, refused) = await Text(http.Request, http.RequestAborted);
        if (text is null) return Problems.Unreadable(refused!);
        var (done, no) = await import.Run(habits, text, party, http.RequestAborted);
        http.Response.Headers.CacheControl = "no-store";
        return done is null ? Problems.Refused([no!]) : Results.Json(done, JsonText.Options);
    }

    static async Task<(string? Text, Refusal? Refused)> Text(HttpRequest request, CancellationToken ct)
    {
        using MemoryStream bytes = new();
        var buffer = new byte[16_384];
        for (int read; (read = await request.Body.ReadAsync(buffer, ct)) > 0;)
        {
            bytes.Write(buffer, 0, read);
            if (bytes.Length > MaxBytes) return (null, new("body-too-large", "The file is larger than 4 MiB.", "Import it in parts."));
        }
        return TryText(bytes.ToArray(), out var text) ? (text, null) : (null, new("csv-not-utf8", "The file is not text in UTF-8.", "Save it as UTF-8."));
    }

    /// <summary>The text of a file; false where its bytes are not UTF-8.</summary>
    internal static bool TryText(byte[] bytes, out string text)
    {
        text = "";
        try
        {
            text = new UTF8Encoding(false, throwOnInvalidBytes: true).GetString(bytes);
            return true;
        }
        catch (DecoderFallbackException)
        {
            return false;
        }
    }
}
