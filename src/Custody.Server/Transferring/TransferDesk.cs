using System.Security.Cryptography;
using Custody.Bats;
using Custody.Evidence.Text;
using Custody.Server.Recording;
using Custody.Transparency;

namespace Custody.Server.Transferring;

/// <summary>Transfers by two words: the owner's, given by their account, and the other side's, given by a link that works once or by an account of theirs. Only when
/// both are given is anything recorded, all of it in one act: the hand-over at both ends, where there is one, and title.</summary>
public sealed class TransferDesk(TransferTable table, BatFinder bats, Recorder recorder, Drawing drawing, TimeProvider clock)
{
    /// <summary>Longest name of the other side.</summary>
    public const int LongestName = 200;

    static readonly TimeSpan Lasts = TimeSpan.FromDays(7);

    public DateTimeOffset Now => clock.GetUtcNow();

    /// <summary>Offers a transfer; an earlier offer for the bat is over.</summary>
    /// <param name="owner">The owner's alias on the bat.</param>
    /// <returns>The link's secret, told this once.</returns>
    public async Task<(string? Token, Refusal? Refused)> Offer(Bat bat, Alias owner, TransferOffer offer, CancellationToken ct)
    {
        if (!TextAtTheDoor.Check(offer.To, LongestName, out var name, out var unfit)) return (null, new(unfit.Code, unfit.Sentence, unfit.Remedy));
        if (bat.Title.Standing == TitleStanding.Disputed) return (null, new("title-disputed", "The title is disputed.", "Resolve the claims first, with the house."));
        if (bat.Title.Shares.Count != 1 || !bat.Title.IsHeldBy(owner))
            return (null, new("title-shared", "You do not hold the whole title as asserted.", "Every holder must agree: have the house record it."));
        if (offer.HandedOver && bat.Keeping.Custodian != owner)
            return (null, new("not-custodian", "The bat is not with you, as recorded, so you cannot hand it over.", "Transfer title alone; whoever has the bat hands it over."));
        var token = Crockford.Encode(RandomNumberGenerator.GetBytes(16));
        WaitingTransfer waiting = new(TransferTable.IdOf(token), StreamName.Parse(bat.Id), offer with { To = name }, Now + Lasts);
        return await table.Put(waiting, Now, ct) ? (token, null) : (null, new("party-unknown", "Your account acts for nobody that this ledger knows.", "Ask the keeper to say for whom."));
    }

    /// <summary>The offer that waits for the other side; null when none does.</summary>
    public Task<WaitingTransfer?> Waiting(PartyId owner, Bat bat, CancellationToken ct) => table.Of(owner, StreamName.Parse(bat.Id), Now, ct);

    /// <summary>Takes an offer back.</summary>
    public async Task<bool> Withdraw(PartyId owner, Bat bat, CancellationToken ct) => await Waiting(owner, bat, ct) is { } waiting && await table.Remove(waiting.Id, ct);

    /// <summary>What a link leads to, with the bat; null when it leads nowhere.</summary>
    public async Task<(WaitingTransfer Waiting, Bat Bat)?> Find(string said, CancellationToken ct) =>
        Crockford.TryDecode(said, out var bits) && await table.Find(TransferTable.IdOf(Crockford.Encode(bits)), Now, ct) is { } waiting
        && await bats.Find(waiting.Bat.ToString(), ct) is { } bat ? (waiting, bat) : null;

    /// <summary>Records the transfer, now that the other side has given its word.</summary>
    /// <param name="by">The party of an account that confirms; null when only the link speaks, and a party is recorded by the offered name.</param>
    /// <returns>Why not; null when it is done.</returns>
    public async Task<Refusal?> Confirm(WaitingTransfer waiting, Bat bat, PartyId? by, CancellationToken ct)
    {
        var (offer, key) = (waiting.Offer, "transfer/" + waiting.Id);
        if (by == offer.Owner) return new("to-oneself", "You offered this transfer yourself: the other side confirms it.", "Send the link to them.");
        var (to, attested) = (by, Attestation.Account);
        if (to is null)
        {
            // Drawn from the link: confirming twice, or again after a refusal, records one party.
            (to, attested) = (new(drawing.Stream("party", key)), Attestation.OneTimeLink);
            if (Refused(await recorder.Record(to.Stream, new RecordParty(PartyKind.Person, offer.To, null, null, null, null) { By = to }, new Request(key + "/party"), ct)) is { } why) return why;
        }
        if (Refused(await recorder.Record(Steps(waiting.Bat, offer, to, attested), new Request(key, bat.N), ct)) is { } refused) return refused;
        await table.Remove(waiting.Id, ct);
        return null;
    }

    static List<Step> Steps(StreamName bat, TransferOffer offer, PartyId to, Attestation attested)
    {
        List<Step> steps = [];
        if (offer.HandedOver)
        {
            var purpose = offer.Kind is AcquisitionKind.Purchase or AcquisitionKind.Exchange ? HandoverPurpose.Sale : HandoverPurpose.Other;
            steps.Add(new(bat, new ReleaseBat(to, purpose, Attestation.Account, null, null, null, null, null, null, null, null) { By = offer.Owner }));
            steps.Add(new(bat, new ReceiveBat(0, null, attested, SealFound.NotLookedAt, null, IdentityResult.NotChecked, null, null, null, null, null) { By = to },
                (receive, before) => (ReceiveBat)receive with { Handover = before[^1].N }));
        }
        steps.Add(new(bat, new AcquireBat(offer.Kind, [new(to, Fraction.Whole)], AssertionBasis.HoldersWord, null, null, null, null) { By = offer.Owner }));
        return steps;
    }

    static Refusal? Refused(Outcome outcome) => outcome switch
    {
        Recorded => null,
        Refused refused => refused.Refusals[0],
        _ => new("moved-on", "Something else was recorded on this bat meanwhile.", "Load this page again, read what stands there now, and confirm once more."),
    };
}
