using Custody.Bats;

namespace Custody.Server.Accounts;

/// <summary>For whom an account may act: for its own party, and for nobody else.</summary>
static class ActingParty
{
    public static Refusal NotYours { get; } = new("not-your-party", "The act is by a party that your account does not act for.", "Act as your own party; an act of somebody else's is recorded as a report, or on their signed paper.");

    public static bool MayAct(Viewer? viewer, Command command, StreamName stream) => viewer is not null
        && (command.By == viewer.Party || IsTheLedgersOwn(command, viewer) || IsIntroduction(command, stream));

    // The ledger speaks when its keeper asks it to; who asked is kept privately.
    static bool IsTheLedgersOwn(Command command, Viewer viewer) => command.LedgerSpeaks && viewer.Is(AccountRole.Keeper);

    // A party that nobody vouches for is recorded by itself, by whoever takes it in.
    static bool IsIntroduction(Command command, StreamName stream) => command is RecordParty && (command.By == PartyId.Ledger || command.By.Stream == stream);
}
