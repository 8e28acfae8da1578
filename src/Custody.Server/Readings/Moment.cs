using System.Globalization;

namespace Custody.Server.Readings;

/// <summary>Of which moment a history is asked.</summary>
/// <param name="Recorded">As the ledger knew it at this time; null for everything recorded, as corrected.</param>
public sealed record Moment(DateTimeOffset? Recorded)
{
    static readonly string[] WithZone = ["yyyy-MM-dd'T'HH:mm:ss'Z'", "yyyy-MM-dd'T'HH:mm:sszzz"];

    /// <summary>Reads the query <c>recorded</c>: a day (all of it, UTC) or a time with its zone (RFC 3339).</summary>
    /// <returns>Null when the text is neither.</returns>
    public static Moment? Of(string? recorded) =>
        recorded is null ? new Moment((DateTimeOffset?)null)
        : DateOnly.TryParseExact(recorded, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out var day)
            ? new Moment(new DateTimeOffset(day.ToDateTime(new TimeOnly(23, 59, 59)), TimeSpan.Zero))
        : DateTimeOffset.TryParseExact(recorded, WithZone, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out var time)
            ? new Moment(time.ToUniversalTime())
        : null;
}
