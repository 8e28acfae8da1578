namespace Custody.Bats;

/// <summary>Answers to a release: each names the hand-over that is open now.</summary>
static class OpenHandover
{
    /// <summary>Refuses when the bat is not in transit, or in transit under another hand-over.</summary>
    public static Refusal? Refuse(Bat bat, long handover) => bat.Keeping.InTransit switch
    {
        null => new("not-in-transit", "The bat is not in transit.", "Have its custodian release it first."),
        var n when n != handover => new("another-handover", $"Entry {handover} is not the hand-over that is open.",
            $"Answer the one of entry {n}."),
        _ => null,
    };

    /// <summary>Refuses when the hand-over was refused or recalled already: then the bat only goes back.</summary>
    public static Refusal? RefuseReturning(Handover open) => open.Standing == HandoverStanding.InTransit
        ? null
        : new("going-back", "That hand-over was refused or recalled; the bat is on its way back.",
            "Have it received by the one who released it.");
}
