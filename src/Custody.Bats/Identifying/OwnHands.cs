namespace Custody.Bats;

/// <summary>What befell the bat itself is recorded by who has it or whose it is said to be.</summary>
static class OwnHands
{
    public static Refusal? Refuse(Bat bat, Entry entry) =>
        entry.Envelope.By is { } by && (bat.Title.IsHeldBy(by)
            || (bat.Keeping.Custodian is { } keeper && Mandate.ActsFor(bat, entry, keeper, AuthorisedAct.Release)))
            ? null
            : new("not-in-your-hands", "This is recorded by the bat's custodian or a holder of its title.",
                "Ask one of them to record it, or report an incident.");
}
