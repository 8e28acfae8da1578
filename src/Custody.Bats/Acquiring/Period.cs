using Custody.Evidence;

namespace Custody.Bats;

/// <summary>A stated time from one date to another, either of which may be left out.</summary>
static class Period
{
    /// <summary>Refuses only what no reading of the dates allows: an end certainly before the beginning, a beginning certainly in the
    /// future.</summary>
    public static IEnumerable<Refusal> Refuse(Edtf? from, Edtf? until, DateTimeOffset recorded)
    {
        if (from is not null && until is not null && Precedence.Between(until, from).EndsBefore == Certainty.Certain)
            yield return new("ends-before-it-begins", "The time stated ends before it begins.", "Check both dates.");
        // A day's grace: somewhere on Earth it may already be tomorrow.
        if (from?.CertainlyAfter(DateOnly.FromDateTime(recorded.UtcDateTime).AddDays(1)) ?? false)
            yield return new("begins-in-future", "The time stated begins certainly in the future.", "Give the date on which it began.");
    }
}
