namespace Custody.Ledger;

/// <summary>A check as it is published: what it asks, who reaches it how far, and where it can be had otherwise.</summary>
/// <param name="Number">From 1.</param>
/// <param name="Name">The name shown everywhere.</param>
/// <param name="ByCommand">How far the command <c>custody-verify</c> reaches it.</param>
/// <param name="ByPage">How far the offline checker page reaches it; <see cref="CheckList.CommandOnly"/> where only the command does.</param>
/// <param name="ByLabelPage">What the page behind a label's address says of it, which is the house checking itself.</param>
/// <param name="Elsewhere">Where the rest can be checked.</param>
public sealed record ListedCheck(int Number, string Name, string ByCommand, string ByPage, string ByLabelPage, string Elsewhere);

/// <summary>The list of checks: one list, the same names everywhere.</summary>
public static class CheckList
{
    /// <summary>Stands in the page's column where the page leaves a check to the command.</summary>
    public const string CommandOnly = "only the command";

    const string Not = "not";

    public static IReadOnlyList<ListedCheck> All { get; } =
    [
        new(1, "bag complete and valid", "whole", "whole", Not, "any reader of BagIt 1.0 bags"),
        new(2, "entries canonical and well formed", "whole; unknown event types only as far as all entries are alike", "whole; unknown event types only as far as all entries are alike", Not, "a newer checker"),
        new(3, "chain unbroken", "whole", "whole", Not, "any reader of the page on the format"),
        new(4, "every entry included in the log", "whole", "whole", Not, "any verifier of c2sp.org/tlog-proof"),
        new(5, "checkpoint signed", "whole when the key is given; cosigners when a policy is given", "whole when the key is given, cosigners when a policy is given, in a browser with Ed25519", Not, "the ledger's cosigners"),
        new(6, "head signed and last entry", "whole, as of the head's time; with --online or --tiles against the public log too", "whole, as of the head's time, in a browser with Ed25519", "the house's word on what is last now", "online, at the ledger: what came later"),
        new(7, "disclosures fit", "whole", "whole", Not, "any reader of RFC 9901 disclosures"),
        new(8, "photographs and documents fit", "those that are in the dossier", "those that are in the dossier", Not, "the holder of the others"),
        new(9, "time stamps valid", "whole when the authority's root certificate is given", CommandOnly, Not, "any verifier of RFC 3161 time stamps"),
        new(10, "history re-decided under its own rules", "whole for rules and event types it knows", CommandOnly, Not, "a newer checker"),
        new(11, "summary equals the history", "whole", CommandOnly, Not, "reading the history itself"),
        new(12, "labels issued here and not voided", "whole, as of the head's time; a label is compared when given", "what the entries say, not decided again; a label is compared when given", "whether the label was issued here and is in force now", "scanning the label, online"),
        new(13, "no second and no later entry", "whole with --online or --tiles, under the checkpoint it is shown; otherwise within the dossier only", "within the dossier only", "the house's word on what came after the label", "the log's public tiles, online"),
        new(14, "time between independent checkpoints", "whole when a policy on cosigners or the root of a time stamp is given", "whole when a policy on cosigners is given; time stamps only the command", Not, "cosigned or time-stamped checkpoints"),
        new(15, "amounts add up", "of sales whose amounts and terms are shown", CommandOnly, Not, "whoever was shown the amounts"),
    ];

    internal static Check Make(int number, Outcome outcome) => new(number, All[number - 1].Name, outcome.Result, outcome.Reason);
}
