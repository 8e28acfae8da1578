using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Readings;
using Custody.Server.Recording;
using Custody.Server.Selling;
using Custody.Server.Tests.Database;
using Custody.Server.Tests.Recording;

namespace Custody.Server.Tests.Readings;

/// <summary>What is asked across bats, over a real database.</summary>
public sealed class AcrossBatsTests(PostgresForTests postgres) : IClassFixture<PostgresForTests>, IAsyncLifetime
{
    LedgerForTests ledger = null!;
    PartyId owner = null!, house = null!, buyer = null!;

    static CancellationToken Ct => TestContext.Current.CancellationToken;

    ReadingDesk Desk => ledger.Get<ReadingDesk>();

    public async ValueTask InitializeAsync()
    {
        ledger = await LedgerForTests.Open(postgres);
        (owner, house, buyer) = (await ledger.Party("Ada Quill"), await ledger.Party("Northgate Rooms"), await ledger.Party("Bram Oake"));
    }

    public ValueTask DisposeAsync() => ledger.DisposeAsync();

    [Fact]
    public async Task The_results_of_a_sale_tell_every_lot_its_end_its_price_and_what_bidders_had_been_told()
    {
        var (sale, terms) = await Sale();
        var (sold, passed, withdrawn, elsewhere) = (await Offered(terms, "10"), await Offered(terms, "9"), await Offered(terms, "9A"), await Offered((await Sale()).Terms, "1"));
        await Done(sold, new AmendLot(3, Announcement.FromTheRostrum, Edtf.Parse("2024-03-01"), null, null, "It was used.", "It may have been used.", null, null, null) { By = house });
        await Done(sold, new SellBat(
            SaleChannel.Lot, 3, terms, house, buyer, TitlePassing.OnFullPayment, Money.Parse("8000.00", "USD"), null, null, null, null, null, null, null)
        { By = house });
        await Done(passed, new PassLot(3, PassedBecause.NoBid, null) { By = house });
        await Done(withdrawn, new WithdrawLot(3, WithdrawalGround.ConsignorAsked, null, null) { By = house });

        var results = SaleResults.Of(sale, (await Desk.BatsIn(sale, Ct))!);

        Assert.Equal(
            [("9", LotStanding.Passed), ("9A", LotStanding.Withdrawn), ("10", LotStanding.Sold)], results.Lots.Select(l => (l.Lot.Number, l.Lot.Standing)));
        var hammered = results.Lots[2];
        Assert.Equal("8000.00", hammered.Sales.Single().Hammer!.Amount.Text);
        Assert.Equal(("It may have been used.", 4L), (hammered.Lot.Told!.Text, hammered.Lot.Told.TextFrom));
        Assert.DoesNotContain(results.Lots, l => l.Bat.Stream == elsewhere.ToString());
    }

    [Fact]
    public async Task The_books_of_a_sale_hold_every_sold_lot_once_and_balance_to_zero()
    {
        var sale = LedgerForTests.Fresh("sale");
        PremiumStep[] steps = [new(Quantity.Parse("25", "%"), null), new(Quantity.Parse("20", "%"), Money.Parse("100000.00", "USD"))];
        SaleTerms whole = new(
            SaleForm.Saleroom, Edtf.Parse("2024-03-01"), TitlePassing.OnFullPayment, PricePublication.Published, PremiumRule.Marginal, steps, 30, "Spring sale", null, null, null, null,
            new ChargesStated(Tax: Quantity.Parse("8", "%"), TaxOn: TaxBase.Charges));
        Assert.Equal("bands-gap", Assert.IsType<Refused>(await Try(sale, new AnnounceSale(whole with { Premium = [.. steps.Skip(1)] }) { By = house })).Refusals[0].Code);
        await Done(sale, new AnnounceSale(whole) { By = house });
        var terms = (await ledger.Get<Histories>().Open(sale, Ct))[0].Reference;
        var (one, twoA, twoB) = (await Lot(terms, "1", 1), await Lot(terms, "2", 2), await Lot(terms, "2", 2));
        SellBat sold = new(
            SaleChannel.Lot, 3, terms, house, buyer, TitlePassing.OnFullPayment, Money.Parse("8000.00", "USD"), Money.Parse("2000.00", "USD"), Money.Parse("160.00", "USD"),
            Money.Parse("10160.00", "USD"), null, null, null, null)
        { By = house };
        Assert.Equal("premium-currency", Assert.IsType<Refused>(await Try(one, sold with { Total = Money.Parse("10160.00", "EUR") })).Refusals[0].Code);
        Assert.Equal("total-below-its-lines", Assert.IsType<Refused>(await Try(one, sold with { Total = Money.Parse("10159.99", "USD") })).Refusals[0].Code);
        foreach (var bat in new[] { one, twoA, twoB }) await Done(bat, sold);

        var books = (await ledger.Get<AccountsDesk>().Books(sale, Ct))!;
        Assert.Equal([("1", 1), ("2", 2)], books.Lots.Select(l => (l.Number, l.Bats.Count)));
        Assert.All(books.Lots, l => Assert.Equal(AmountStanding.AddsUp, l.Account.Standing));
        // The two bats of lot 2 may have two consignors: their shares are not this arithmetic's to make.
        Assert.Equal(("2", "commission-not-known"), Assert.Single(books.LeftOut) is var left ? (left.Key, left.Value.Code) : default);
        Assert.Equal(
            ("8000.00", "10160.00", "7200.00", "2800.00", "160.00", "0.00"),
            (books.Books!.Hammers.Amount.Text, books.Books.BuyersPay.Amount.Text, books.Books.ConsignorsGet.Amount.Text, books.Books.HouseKeeps.Amount.Text, books.Books.Tax.Amount.Text, books.Books.Balance.Amount.Text));
        var (charged, _) = await ledger.Get<AccountsDesk>().Charge(sale, Money.Parse("150000.00", "USD"), false, DecimalText.Parse("10"), Ct);
        Assert.Equal(("35000.00", "187800.00", "135000.00"), (charged!.Buyer.Premium.Amount.Text, charged.Buyer.Total.Amount.Text, charged.Consignor!.Share.Amount.Text));
        Assert.Equal("premium-currency", (await ledger.Get<AccountsDesk>().Charge(sale, Money.Parse("150000.00", "EUR"), false, null, Ct)).Refused!.Code);
        Assert.Equal("premium-hammer", (await ledger.Get<AccountsDesk>().Charge(sale, Money.Parse("0.00", "USD"), false, null, Ct)).Refused!.Code);
        Assert.Equal("sale-unknown", (await ledger.Get<AccountsDesk>().Charge(LedgerForTests.Fresh("sale"), Money.Parse("1.00", "USD"), false, null, Ct)).Refused!.Code);
    }

    async Task<StreamName> Lot(Reference terms, string number, int bats)
    {
        var bat = await ledger.Bat(owner);
        await Done(bat, new ConsignBat(owner, house, Attestation.SignedPaper, null, null, Quantity.Parse("10", "%"), null, null) { By = house });
        await Done(bat, new OfferLot(terms, number, bats, house, null, null, "A bat", "It was used.", null, null, null) { By = house });
        return bat;
    }

    [Fact]
    public async Task Holdings_tell_title_and_custody_apart()
    {
        var kept = await ledger.Bat(owner);
        await Done(kept, LedgerForTests.Release(owner, house));
        await Done(kept, new ReceiveBat(2, null, Attestation.Account, SealFound.NoSeal, null, IdentityResult.NotChecked, null, null, null, null, null) { By = house });
        var own = Assert.Single(Holdings.Of((await Desk.BatsOf(owner, Ct))!).Bats);
        Assert.Equal((Fraction.Whole, false), (own.Title, own.Keeps));
        var houses = Assert.Single(Holdings.Of((await Desk.BatsOf(house, Ct))!).Bats);
        Assert.Equal((null, true), (houses.Title, houses.Keeps));
        Assert.Empty(Holdings.Of((await Desk.BatsOf(buyer, Ct))!).Bats);
    }

    [Fact]
    public async Task An_examiners_record_keeps_every_opinion_and_tells_what_became_of_it()
    {
        var (examiner, other) = (await ledger.Party("Cora Finch"), await ledger.Party("Second House"));
        var (bat, second) = (await Examined(examiner), await Examined(examiner));
        await Done(bat, Opinion(examiner));
        await Done(bat, Opinion(examiner) with { Supersedes = [5] });
        await Done(bat, new ReportOpinion(
            other, null, null, PropositionLevel.UsedInPlay, ReportedConclusion.SupportsAlternative, AssertionBasis.Letter, FeeTerms.NotStated,
            [DeclaredInterest.NotStated], [OpinionIrregularity.CopyOnly], [], null, null)
        { By = house });
        await Done(second, Opinion(examiner));
        await Done(second, new WithdrawOpinion(5, OpinionWithdrawalGround.NewEvidence, null) { By = examiner });

        var record = ExaminersRecord.Of((await Desk.BatsOf(examiner, Ct))!);

        Assert.Equal((3, 0, 1, 1, 1, 2, 0), (record.Given, record.Reported, record.Present, record.Revised, record.Withdrawn, record.Opposed, record.Void));
        Assert.Equal(3, record.Opinions.Count);
        Assert.Equal((0, 1), (ExaminersRecord.Of((await Desk.BatsOf(other, Ct))!).Given, ExaminersRecord.Of((await Desk.BatsOf(other, Ct))!).Reported));
    }

    [Fact]
    public async Task Open_work_finds_the_bats_that_wait_and_only_those()
    {
        var (still, moving) = (await ledger.Bat(owner), await ledger.Bat(owner));
        await Done(moving, LedgerForTests.Release(owner, house));
        var waiting = (await Desk.BatsWithWork(Ct)).Select(r => r.State.Id).ToList();
        Assert.Contains(moving.ToString(), waiting);
        Assert.DoesNotContain(still.ToString(), waiting);
        await Done(moving, new ReceiveBat(2, null, Attestation.Account, SealFound.NoSeal, null, IdentityResult.NotChecked, null, null, null, null, null) { By = house });
        Assert.DoesNotContain(moving.ToString(), (await Desk.BatsWithWork(Ct)).Select(r => r.State.Id));
    }

    [Fact]
    public async Task A_state_that_changes_while_what_it_is_found_by_does_not_touches_no_index()
    {
        var bat = await ledger.Bat(owner);
        var index = $"select sum(idx.indisvalid::int) from pg_index idx where idx.indrelid = '{ledger.Place.Schema}.mt_doc_bat_state'::regclass and idx.indexprs is not null";
        Assert.IsType<DBNull>(await ledger.Scalar(index));
        Assert.Equal($"{bat}", await ledger.Scalar($"select id from {ledger.Place.Schema}.mt_doc_bat_state where id = '{bat}' and not waits and stood_in = '{{}}'"));
        // The next start finds nothing to make or drop.
        await ledger.Get<Marten.IDocumentStore>().Storage.Database.AssertDatabaseMatchesConfigurationAsync(Ct);
    }

    async Task<(StreamName Sale, Reference Terms)> Sale()
    {
        var sale = LedgerForTests.Fresh("sale");
        await Done(sale, new AnnounceSale(new SaleTerms(
            SaleForm.Saleroom, null, TitlePassing.OnFullPayment, PricePublication.Published, PremiumRule.None, null, 30, "Spring sale", null, null, null, null))
        { By = house });
        return (sale, (await ledger.Get<Histories>().Open(sale, Ct))[0].Reference);
    }

    /// <summary>1 registered, 2 consigned, 3 offered.</summary>
    async Task<StreamName> Offered(Reference terms, string number)
    {
        var bat = await ledger.Bat(owner);
        await Done(bat, new ConsignBat(owner, house, Attestation.SignedPaper, [], null, null, null, null) { By = house });
        await Done(bat, new OfferLot(terms, number, 1, house, [], [], "A bat", "It was used.", null, null, null) { By = house });
        return bat;
    }

    /// <summary>1 registered, 2 to 4 an examination opened, locked and closed.</summary>
    async Task<StreamName> Examined(PartyId examiner)
    {
        var bat = await ledger.Bat(owner);
        await Done(bat, new OpenExamination(examiner, house, ExaminedFrom.BatInHand, Blinding.FixedOrder, [], ProposedBy.NobodyYet, null, [], null, null, null) { By = examiner });
        await Done(bat, new LockFindings(
            2, [new FindingStated(FindingKind.Tape, Presence.Seen, Confidence.Moderate, SeenBy.Eye, null, null, null, null)], [],
            [.. ViewSeen.Fixed.Select(v => new ViewSeen(v, ViewAnswer.Seen))], null)
        { By = examiner });
        await Done(bat, new CloseExamination(2, ExaminationOutcome.Complete, null) { By = examiner });
        return bat;
    }

    GiveOpinion Opinion(PartyId examiner) => new(
        house, [examiner], null,
        [new Weighing(PropositionLevel.UsedInPlay, Alternative.NotUsedInPlay, SupportFor.Proposition, SupportWord.Moderate, null, null, null, null)],
        [], null, null, null, new OpinionGrounds([2]), null, null, null, owner, owner, FeeTerms.NotContingent, [], null, null)
    { By = examiner };

    Task<Outcome> Try(StreamName stream, Command command) => ledger.Recorder.Record(stream, command, new Request(), Ct);

    async Task Done(StreamName stream, Command command)
    {
        var outcome = await Try(stream, command);
        Assert.True(outcome is Recorded, outcome is Refused refused ? refused.Refusals[0].ToString() : outcome.ToString());
    }
}
