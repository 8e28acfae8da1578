using System.CommandLine;
using Custody.Bats;
using Custody.Server.Challenges;
using Command = System.CommandLine.Command;

namespace Custody.Server.Operating;

/// <summary>The <c>holder-secret</c> command: by what a holder of title answers challenges until there are accounts.</summary>
static class HolderSecretCommand
{
    public static Command Make(Option<DirectoryInfo> data)
    {
        Argument<string> party = new("party") { Description = "The party's stream name." };
        Option<bool> end = new("--end") { Description = "End the party's secret, as when it was lost." };
        var command = new Command("holder-secret", "Issue a secret by which a holder of title answers challenges. The one before stops working.") { party, end, data };
        command.SetAction((parsed, ct) => Run(parsed.GetValue(data)!, parsed.GetValue(party)!, parsed.GetValue(end), ct));
        return command;
    }

    static async Task<int> Run(DirectoryInfo data, string said, bool end, CancellationToken ct)
    {
        await using var ledger = await OpenedLedger.Open(data, ct);
        var secrets = ledger.Get<HolderSecrets>();
        var party = StreamName.TryParse(said, out var name) && name.Kind == "party" ? new PartyId(name) : null;
        if (party is null) return Complaints.Say(NoParty(said));
        if (end)
        {
            if (!await secrets.End(party, ct)) return Complaints.Say(new("no-secret", "That party has no secret here.", "Nothing more is needed."));
            Console.WriteLine("Ended: nobody answers with it any more.");
            return 0;
        }
        if (await secrets.Issue(party, ct) is not { } secret) return Complaints.Say(NoParty(said));
        Console.WriteLine(secret);
        Console.WriteLine("Shown this once. Give it to the holder alone; whoever has it answers challenges as that holder's account.");
        return 0;
    }

    static Refusal NoParty(string said) => new("unknown-party", $"There is no party {said} in this ledger.", "Give the name of the party's stream: party/ and 26 characters.");
}
