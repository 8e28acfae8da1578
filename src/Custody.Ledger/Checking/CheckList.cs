namespace Custody.Ledger;

/// <summary>A check as it is published: what it asks, whether the command reaches it, and where it can be had otherwise.</summary>
/// <param name="Number">From 1.</param>
/// <param name="Name">The name shown everywhere.</param>
/// <param name="ByCommand">How far the command <c>custody-verify</c> reaches it.</param>
/// <param name="Elsewhere">Where the rest can be checked.</param>
public sealed record ListedCheck(int Number, string Name, string ByCommand, string Elsewhere);

/// <summary>The list of checks: one list, the same names everywhere.</summary>
public static class CheckList
{
    public static IReadOnlyList<ListedCheck> All { get; } =
    [
        new(1, "bag complete and valid", "whole", "any reader of BagIt 1.0 bags"),
        new(2, "entries canonical and well formed", "whole; unknown event types only as far as all entries are alike", "a newer checker"),
        new(3, "chain unbroken", "whole", "any reader of the page on the format"),
        new(4, "every entry included in the log", "whole", "any verifier of c2sp.org/tlog-proof"),
        new(5, "checkpoint signed", "whole when the key is given; cosigners not yet", "the ledger's cosigners"),
        new(6, "head signed and last entry", "whole, as of the head's time", "online, at the ledger: what came later"),
        new(7, "disclosures fit", "whole", "any reader of RFC 9901 disclosures"),
        new(8, "photographs and documents fit", "those that are in the dossier", "the holder of the others"),
        new(9, "time stamps valid", "not yet", "any verifier of RFC 3161 time stamps"),
        new(10, "history re-decided under its own rules", "whole for rules and event types it knows", "a newer checker"),
        new(11, "summary equals the history", "whole", "reading the history itself"),
        new(12, "labels issued here and not voided", "whole, as of the head's time; a label is compared when given", "scanning the label, online"),
        new(13, "no second and no later entry", "within the dossier only", "the log's public tiles, online"),
        new(14, "time between independent checkpoints", "not yet: time is the house's word only", "cosigned or time-stamped checkpoints"),
    ];

    internal static Check Make(int number, Outcome outcome) => new(number, All[number - 1].Name, outcome.Result, outcome.Reason);
}
