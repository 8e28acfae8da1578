using System.CommandLine;
using System.Text.Json;
using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Readings;
using Custody.Server.Recording;
using Custody.Server.Selling;
using Command = System.CommandLine.Command;

namespace Custody.Server.Operating;

/// <summary>The commands <c>amounts</c>, <c>charge</c> and <c>books</c>: arithmetic of sales. They record nothing.</summary>
static class AmountCommands
{
    public static IEnumerable<Command> Make(Option<DirectoryInfo> data)
    {
        yield return Amounts(data);
        yield return Charge(data);
        yield return Books(data);
    }

    static Command Amounts(Option<DirectoryInfo> data)
    {
        var (bat, json) = (BenchCommands.Bat(), BenchCommands.Json());
        Command command = new("amounts", "The amounts of a bat's sales, checked against each other and against the terms.") { bat, json, data };
        command.SetAction(async (parsed, ct) =>
        {
            await using var ledger = await OpenedLedger.Open(parsed.GetValue(data)!, ct);
            if (await ledger.Get<ReadingDesk>().HistoryOf(parsed.GetValue(bat)!, ct) is not { } history)
                return Complaints.Say(BatFinder.Unknown(parsed.GetValue(bat)));
            var accounts = await ledger.Get<AccountsDesk>().Of(history.AsCorrected(), ct);
            Print(accounts, parsed.GetValue(json), accounts.Count == 0 ? ["No sale is recorded."] : accounts.SelectMany(Lines));
            return accounts.Any(a => a.Standing == AmountStanding.DoesNotAddUp) ? 1 : 0;
        });
        return command;
    }

    static Command Charge(Option<DirectoryInfo> data)
    {
        var (sale, json) = (Sale(), BenchCommands.Json());
        Argument<string> amount = new("amount") { Description = "Hammer price, such as 26000.00." };
        Argument<string> currency = new("currency") { Description = "ISO 4217 code, such as USD." };
        Option<bool> online = new("--online") { Description = "The bid was placed online." };
        Option<string?> commission = new("--commission") { Description = "The consignor's commission, per cent of the hammer price." };
        Command command = new("charge", "What a hammer price comes to under a sale's terms: premium, fee, tax, total, and the consignor's share.") { sale, amount, currency, online, commission, json, data };
        command.SetAction(async (parsed, ct) =>
        {
            if (!Money.TryParse(parsed.GetValue(amount), parsed.GetValue(currency), out var hammer, out var unfit)) return Complaints.Say(new(unfit.Code, unfit.Sentence, unfit.Remedy));
            DecimalText? share = null;
            if (parsed.GetValue(commission) is { } said && !DecimalText.TryParse(said, out share, out unfit)) return Complaints.Say(new(unfit.Code, unfit.Sentence, unfit.Remedy));
            await using var ledger = await OpenedLedger.Open(parsed.GetValue(data)!, ct);
            var (charged, refused) = await ledger.Get<AccountsDesk>().Charge(StreamName.Parse(parsed.GetValue(sale)!), hammer, parsed.GetValue(online), share, ct);
            if (charged is null) return Complaints.Say(refused!);
            Print(charged, parsed.GetValue(json), [Buyer(charged.Buyer), .. charged.Consignor is { } c ? [Consignor(c)] : Array.Empty<string>(), $"Method {charged.Method}."]);
            return 0;
        });
        return command;
    }

    static Command Books(Option<DirectoryInfo> data)
    {
        var (sale, json) = (Sale(), BenchCommands.Json());
        Command command = new("books", "The books of a sale: every sold lot once, and sums that balance to zero.") { sale, json, data };
        command.SetAction(async (parsed, ct) =>
        {
            await using var ledger = await OpenedLedger.Open(parsed.GetValue(data)!, ct);
            if (await ledger.Get<AccountsDesk>().Books(StreamName.Parse(parsed.GetValue(sale)!), ct) is not { } books)
                return Complaints.Say(new("sale-unknown", "There is no such sale in this ledger.", "Look its name up again."));
            Print(books, parsed.GetValue(json), Lines(books));
            return 0;
        });
        return command;
    }

    static Argument<string> Sale()
    {
        Argument<string> sale = new("sale") { Description = "Stream of the sale: sale/ and 26 characters." };
        sale.Validators.Add(given =>
        {
            if (!(StreamName.TryParse(given.GetValueOrDefault<string>(), out var name) && name.Kind == "sale")) given.AddError("A sale is named by its stream: sale/ and 26 characters.");
        });
        return sale;
    }

    static void Print<T>(T result, bool json, IEnumerable<string> lines)
    {
        if (json) Console.WriteLine(JsonSerializer.Serialize(result, BenchCommands.Indented));
        else foreach (var line in lines) Console.WriteLine(line);
    }

    static IEnumerable<string> Lines(SaleAccount account)
    {
        yield return $"Sale of entry {BenchText.Number(account.Sale)}: {BenchText.Word(account.Standing)} (method {account.Method})";
        foreach (var amount in account.Amounts)
            yield return $"  {BenchText.Word(amount.Standing)}: {amount.What} {amount.Recorded?.ToString() ?? "not shown"}{(amount.Computed is { } c && c != amount.Recorded ? $", comes to {c}" : "")}{(amount.Why is { } why ? $". {why}" : "")}";
        if (account.Refused is { } refused) yield return $"  {refused.Sentence} ({refused.Code})";
        if (account.Buyer is { } buyer) yield return "  " + Buyer(buyer);
        if (account.Consignor is { } consignor) yield return $"  {Consignor(consignor)}{(account.PaidToSeller is { } paid ? $"; paid out {paid}" : "")}";
    }

    static IEnumerable<string> Lines(BooksRead read)
    {
        if (read.Lots.Count == 0) yield return "No lot of the sale is sold.";
        foreach (var lot in read.Lots)
        {
            yield return $"Lot {lot.Number} ({string.Join(", ", lot.Bats.Select(b => b.ShortNumber))}): {BenchText.Word(lot.Account.Standing)}{(read.LeftOut.TryGetValue(lot.Number, out var why) ? $"; not in the sums: {why.Sentence} ({why.Code})" : "")}";
            foreach (var line in Lines(lot.Account).Skip(1)) yield return line;
        }
        if (read.Books is { } b)
            yield return $"Hammer prices {b.Hammers}; buyers pay {b.BuyersPay}; consignors get {b.ConsignorsGet}; the house keeps {b.HouseKeeps}; tax {b.Tax}; balance {b.Balance}";
    }

    static string Buyer(BuyerAccount a) => $"Hammer price {a.Hammer}, premium {a.Premium}, online fee {a.OnlineFee}, tax {a.Tax}: the buyer pays {a.Total}";

    static string Consignor(ConsignorAccount a) => $"Commission {a.Commission}: the consignor gets {a.Share}";
}
