using System.CommandLine;
using Custody.Bats;
using Custody.Server.Photographs;
using Custody.Server.Private;
using Custody.Server.Recording;
using Custody.Transparency;
using Marten;
using Command = System.CommandLine.Command;

namespace Custody.Server.Operating;

/// <summary>The <c>erase</c> command: the request, and its answer: erasure, or restriction while the party still has a role on some bat.</summary>
static class Erasing
{
    /// <summary>What the keeper asks for.</summary>
    /// <param name="Retained">What law requires to be kept, in a register elsewhere; named in the entry.</param>
    /// <param name="Papers">Papers and original pictures recorded on bats that concern this party and go too.</param>
    public sealed record Wish(string Party, ErasureGround Ground, IReadOnlyList<Retained> Retained, IReadOnlyList<string> Papers);

    public static async Task<int> Run(DirectoryInfo data, Wish wish, CancellationToken ct)
    {
        await using var ledger = await OpenedLedger.Open(data, ct);
        if (await StateOf(ledger, wish.Party, ct) is not { } state)
            return Complaints.Say(new("unknown-party", $"There is no party {wish.Party} in this ledger.", "Give the name of the party's stream: party/ and 26 characters."));
        var party = PartyId.Parse(state.Id);
        if (state.Erasure == ErasureStanding.Erased)
            return Complaints.Say(new("party-erased", "This party's private data were erased.", "Nothing more is needed."));
        if (await FilesOf(wish.Papers, ledger.Get<PictureStores>(), ct) is not { } files)
            return Complaints.Say(new("unknown-paper", "One of these papers is not kept here.", "Give the SHA-256 by which the act named it, 43 characters."));
        if (state.Erasure == ErasureStanding.NotAsked && await Done(ledger, party, new RequestErasure(wish.Ground, null, null) { By = PartyId.Ledger }, ct) is { } unasked) return unasked;
        var roles = await ledger.Get<Erasures>().RolesOf(party, ct);
        if (roles.Count > 0) return await Restrict(ledger, party, state, roles, ct);
        // Before the entry: a crash in between is made good by asking again.
        foreach (var file in files) ledger.Get<KeyRing>().Destroy(CoveredStore.SubjectOf(file));
        if (await Done(ledger, party, new EraseParty(wish.Retained, null) { By = PartyId.Ledger }, ct) is { } refused) return refused;
        Console.WriteLine("Erased: the key is destroyed, and with it every private value it covered, here and in every backup. Every proof stays valid.");
        Console.WriteLine(wish.Retained.Count == 0 ? "Nothing is kept because law requires it." : $"Kept because law requires it: {string.Join(", ", wish.Retained)}.");
        Console.WriteLine("Copies already handed out cannot be recalled.");
        return 0;
    }

    static async Task<int> Restrict(OpenedLedger ledger, PartyId party, PartyState state, IReadOnlySet<PresentRole> roles, CancellationToken ct)
    {
        if (state.Erasure != ErasureStanding.Restricted && await Done(ledger, party, new RestrictParty([.. roles], null) { By = PartyId.Ledger }, ct) is { } refused) return refused;
        Console.Error.WriteLine($"The party is still {string.Join(", ", roles)} of a bat here: its data are restricted, shown in no dossier, until that ends.");
        Console.Error.WriteLine("Give the same command again then. Copies already handed out cannot be recalled.");
        return 1;
    }

    /// <summary>Names those whose data are restricted and whose last role has ended.</summary>
    public static async Task<int> Due(DirectoryInfo data, CancellationToken ct)
    {
        await using var ledger = await OpenedLedger.Open(data, ct);
        foreach (var party in await ledger.Get<Restrictions>().Parties(ct))
            if ((await ledger.Get<Erasures>().RolesOf(party, ct)).Count == 0) Console.WriteLine(party);
        return 0;
    }

    static async Task<PartyState?> StateOf(OpenedLedger ledger, string said, CancellationToken ct)
    {
        if (!StreamName.TryParse(said, out var name) || name.Kind != "party") return null;
        await using var session = ledger.Get<IDocumentStore>().QuerySession();
        return await session.LoadAsync<PartyState>(name.ToString(), ct);
    }

    static async Task<IReadOnlyList<ContentHash>?> FilesOf(IReadOnlyList<string> papers, PictureStores stores, CancellationToken ct)
    {
        List<ContentHash> files = [];
        foreach (var paper in papers)
        {
            if (!Hash.TryParse(paper, out var hash)) return null;
            var file = ContentHash.FromDigest(hash.ToArray());
            if (!await stores.Documents.Has(file, ct) && !await stores.Originals.Has(file, ct)) return null;
            files.Add(file);
        }
        return files;
    }

    static async Task<int?> Done(OpenedLedger ledger, PartyId party, Custody.Bats.Command command, CancellationToken ct) =>
        await ledger.Get<Recorder>().Record(party.Stream, command, new Request(), ct) switch
        {
            Recorded => null,
            Refused refused => Complaints.Say(refused.Refusals[0]),
            _ => Complaints.Say(new("conflict", "Another act on this party came first. Nothing was recorded.", "Try again.")),
        };
}

/// <summary>How the command is written.</summary>
static class ErasingCommand
{
    public static Command Make(Option<DirectoryInfo> data)
    {
        Argument<string?> party = new("party") { Description = "The party's stream name.", Arity = ArgumentArity.ZeroOrOne };
        Option<ErasureGround> reason = new("--reason") { Description = "On what it is asked for.", DefaultValueFactory = _ => ErasureGround.AskedByTheParty };
        Option<Retained[]> retained = new("--retained") { Description = "What law requires to be kept, elsewhere: named in the entry.", DefaultValueFactory = _ => [], AllowMultipleArgumentsPerToken = true };
        Option<string[]> paper = new("--paper") { Description = "SHA-256 of a paper or original picture on some bat that concerns the party and goes too.", DefaultValueFactory = _ => [] };
        Option<bool> due = new("--due") { Description = "Only name those who were restricted and whose last role has ended." };
        var erase = new Command("erase", "Erase a party's private data, or restrict them while the party still has a role.") { party, reason, retained, paper, due, data };
        erase.Validators.Add(given =>
        {
            if (given.GetValue(due) == (given.GetValue(party) is not null)) given.AddError("Name one party, or ask with --due who is left to be erased.");
            if (!given.GetValue(due) && given.GetResult(reason) is null or { Implicit: true }) given.AddError("--reason is required: on what the erasure is asked for.");
        });
        erase.SetAction((parsed, ct) => parsed.GetValue(due)
            ? Erasing.Due(parsed.GetValue(data)!, ct)
            : Erasing.Run(parsed.GetValue(data)!, new(parsed.GetValue(party)!, parsed.GetValue(reason), parsed.GetValue(retained)!, parsed.GetValue(paper)!), ct));
        return erase;
    }
}
