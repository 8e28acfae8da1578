using Custody.Evidence;

namespace Custody.Bats.Tests.Histories;

/// <summary>One try at an act, drawn blindly.</summary>
/// <param name="Act">Which act.</param>
/// <param name="By">Who tries it, where <paramref name="Fitting"/> leaves it open.</param>
/// <param name="Other">Whom it names besides.</param>
/// <param name="Which">Which of several: an entry, a scope, a purpose.</param>
/// <param name="Fitting">Tried by somebody who may, on an entry that fits; otherwise by anybody on anything. Without it hardly anything would ever be permitted.</param>
sealed record Drawn(int Act, int By, int Other, int Which, bool Fitting);

/// <summary>Makes an act of what was drawn, legal or not: the rules are to find out.</summary>
static class RandomActs
{
    static readonly PartyId[] People = [.. "abcdef".Select(Story<Bat>.Party)];

    static readonly Func<Telling, Drawn, BatCommand>[] All =
    [
        (t, d) => Cast.Release(Keeper(t, d), Person(d.Other), (HandoverPurpose)(d.Which % 13), d.Which % 5 == 0 ? Attestation.SignedPaper : Attestation.Account),
        (t, d) => Cast.Release(Keeper(t, d), Person(d.Other)),
        (t, d) => Cast.Receive(Bound(t, d), Handover(t, d)),
        (t, d) => Cast.Receive(Bound(t, d), Handover(t, d)),
        (t, d) => new RefuseHandover(Handover(t, d), HandoverRefusal.NotExpected, (TurnedBackAt)(d.Which % 2), null, null) { By = Bound(t, d) },
        (t, d) => new RecallHandover(Handover(t, d), RecallReason.ChangeOfMind, (TurnedBackAt)(d.Which % 2), null) { By = Sender(t, d) },
        (t, d) => new ReportMisdelivery(Handover(t, d), d.Which % 3 == 0 ? null : Person(d.Other), null) { By = Sender(t, d) },
        (t, d) => new MoveBat(MoveReason.Storage, null, "a shelf", null) { By = Keeper(t, d) },
        (t, d) => new PlaceHold([(HoldScope)(d.Which % 4), (HoldScope)(d.Other % 4)], HoldGround.HouseDecision, Edtf.Parse("2031"), null, null) { By = Person(d.By) },
        (t, d) => new LiftHold(Number(t, d, t.State.Holds.ByEntry.Keys), HoldEnd.MatterSettled, AssertionBasis.HoldersWord, null, null) { By = Placer(t, d) },
        (t, d) => new LiftHold(Number(t, d, t.State.Holds.ByEntry.Keys), HoldEnd.MatterSettled, AssertionBasis.HoldersWord, null, null) { By = Placer(t, d) },
        (t, d) => new AcquireBat(AcquisitionKind.Gift, Shares(d), AssertionBasis.HoldersWord, null, null, null, null) { By = Holder(t, d) },
        (t, d) => new AcquireBat(AcquisitionKind.Inheritance, Shares(d), AssertionBasis.Document, null, null, null, null) { By = Holder(t, d) },
        (t, d) => Cast.Authorise(d.Fitting ? Holder(t, d) : Person(d.By), Person(d.Other), d.Fitting ? Holder(t, d) : Person(d.Which), (AuthorisedAct)(d.Which % 7)),
        (t, d) => new EndAuthority(Number(t, d, t.State.Authorities.ByEntry.Keys), AuthorityEnd.Revoked, AssertionBasis.HoldersWord, null, null) { By = Person(d.By) },
        (t, d) => new RaiseClaim((ClaimKind)(d.Which % 7), Person(d.Other), AssertionBasis.Letter, null, null) { By = Person(d.By) },
        (t, d) => new ResolveClaim(
            Number(t, d, t.State.Claims.ByEntry.Keys), (ClaimOutcome)(d.Which % 4), d.Fitting ? AssertionBasis.CourtOrder : AssertionBasis.HoldersWord, d.Which % 2 == 0 ? null : Shares(d), null, null)
        { By = Person(d.By) },
        (t, d) => new ReportMissing((MissingKind)(d.Which % 4), AssertionBasis.HoldersWord, null, null, null, null) { By = Keeper(t, d) },
        (t, d) => new RecordRecovery(
            d.Which % 4 == 0 ? null : Number(t, d, t.State.Claims.MissingByEntry.Keys), Person(d.Other), d.Fitting ? RecoveryMeans.FromPolice : RecoveryMeans.Found,
            d.Fitting ? AssertionBasis.Document : AssertionBasis.HoldersWord, null, null, null)
        { By = Person(d.By) },
        (t, d) => Trade.Consigned(by: Holder(t, d), consignor: Holder(t, d)),
        (t, d) => new EndConsignment(Number(t, d, t.State.Consignments.ByEntry.Keys), ConsignmentEnding.Unsold, null) { By = d.Fitting ? Trade.House : Person(d.By) },
        (t, d) => Trade.Offered(t.Sale, by: d.Fitting ? Trade.House : Person(d.By), house: Trade.House),
        (t, d) => new PassLot(Number(t, d, t.State.Lots.ByEntry.Keys), PassedBecause.NoBid, null) { By = d.Fitting ? Trade.House : Person(d.By) },
        (t, d) => new WithdrawLot(Number(t, d, t.State.Lots.ByEntry.Keys), WithdrawalGround.HouseDecision, null, null) { By = d.Fitting ? Trade.House : Person(d.By) },
        (t, d) => new ReofferLot(Number(t, d, t.State.Lots.ByEntry.Keys), t.Sale.Reference, "7", 1, Trade.House, null, null, null, null, null, null, null) { By = d.Fitting ? Trade.House : Person(d.By) },
        (t, d) => Trade.Hammered(t.Sale, Number(t, d, t.State.Lots.ByEntry.Keys), by: d.Fitting ? Trade.House : Person(d.By)),
        (t, d) => Trade.Privately(Holder(t, d), Person(d.Other), (TitlePassing)(d.Which % 4)),
        (t, d) => Trade.Paid(Number(t, d, t.State.Sales.ByEntry.Keys), (PaymentKind)(d.Which % 4), Seller(t, d)),
        (t, d) => Trade.Paid(Number(t, d, t.State.Sales.ByEntry.Keys), PaymentKind.InFull, Seller(t, d)),
        (t, d) => new PassTitle(Number(t, d, t.State.Sales.ByEntry.Keys)) { By = Seller(t, d) },
        (t, d) => new PassTitle(Number(t, d, t.State.Sales.ByEntry.Keys)) { By = Seller(t, d) },
        (t, d) => new RecordDefault(Number(t, d, t.State.Sales.ByEntry.Keys), null) { By = Seller(t, d) },
        (t, d) => new CancelSale(Number(t, d, t.State.Sales.ByEntry.Keys), CancellationGround.Agreed, null) { By = Seller(t, d) },
        (t, d) => new RescindSale(
            Number(t, d, t.State.Sales.ByEntry.Keys), d.Which % 2 == 0 ? RescissionGround.Agreed : RescissionGround.CourtOrder, (Attestation)(d.Other % 4), null, null)
        { By = Seller(t, d) },
        (t, d) => new CorrectEntry(
            CorrectionKind.DidNotHappen, t.Entries[d.Which % t.Entries.Count].Reference, null, null, null, null, null, d.Other % 2 == 0 ? "it never happened" : null)
        { By = Person(d.By) },
        (t, d) => new DestroyBat(DestructionCause.Fire, null, null, null, null) { By = d.Which % 8 == 0 ? Keeper(t, d) : Person(d.By) },
    ];

    public static int Count => All.Length;

    public static BatCommand Of(Telling telling, Drawn drawn) => All[drawn.Act](telling, drawn);

    static PartyId Person(int drawn) => People[drawn % People.Length];

    static PartyId Fit(Telling telling, Drawn drawn, Alias? fitting) => drawn.Fitting && fitting is { } alias ? telling.PartyOf(alias) : Person(drawn.By);

    static PartyId Keeper(Telling t, Drawn d) => Fit(t, d, t.State.Keeping.Custodian);

    static Handover? Open(Telling t) => t.State.Keeping.InTransit is { } n ? t.State.Keeping.Handovers[n] : null;

    static PartyId Bound(Telling t, Drawn d) => Fit(t, d, Open(t)?.Bound);

    static PartyId Sender(Telling t, Drawn d) => Fit(t, d, Open(t)?.From);

    static PartyId Holder(Telling t, Drawn d) => Fit(t, d, t.State.Title.Shares.IsEmpty ? null : t.State.Title.Shares.Keys.First());

    static PartyId Placer(Telling t, Drawn d) => Fit(t, d, t.State.Holds.ByEntry.GetValueOrDefault(Number(t, d, t.State.Holds.ByEntry.Keys))?.By);

    static PartyId Seller(Telling t, Drawn d) => Fit(t, d, t.State.Sales.ByEntry.GetValueOrDefault(Number(t, d, t.State.Sales.ByEntry.Keys))?.SoldBy);

    static long Handover(Telling t, Drawn d) => d.Fitting && t.State.Keeping.InTransit is { } n ? n : Anything(t, d);

    /// <summary>The newest that fits, or any entry there is, and now and then one that is not.</summary>
    static long Number(Telling t, Drawn d, IEnumerable<long> fitting) => d.Fitting && fitting.Any() ? fitting.Last() : Anything(t, d);

    static long Anything(Telling t, Drawn d) => d.Which % (t.State.N + 2);

    /// <summary>To one, to two in halves or thirds, or in shares that make no whole.</summary>
    static IReadOnlyList<ShareOf> Shares(Drawn d) => (d.Which % 6) switch
    {
        0 => [new(Person(d.Other), new(1, 2)), new(Person(d.Other + 1), new(1, 2))],
        1 => [new(Person(d.Other), new(2, 3)), new(Person(d.Other + 1), new(1, 3))],
        2 => [new(Person(d.Other), new(1, 3)), new(Person(d.Other + 1), new(1, 3))],
        _ => [new(Person(d.Other), Fraction.Whole)],
    };
}
