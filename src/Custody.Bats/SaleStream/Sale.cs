namespace Custody.Bats;

public enum SaleEventStanding
{
    NotAnnounced,
    Announced,
    Open,
    Closed,
    CalledOff,
}

/// <summary>One sale of a house, as far as its own entries tell: never which lots, bats or buyers. Those stand on the bats.</summary>
public sealed record Sale : StreamState<Sale>
{
    public SaleEventStanding Standing { get; init; }

    /// <summary>Number of the entry that set the terms now in force.</summary>
    public long Terms { get; init; }
}

/// <summary>A fact on a sale's stream. It names no lot, bat or party: a dossier carries the terms as context, and that must not tell its
/// reader what else was sold.</summary>
public abstract record SaleFact : Fact<Sale>
{
    /// <summary>The standings that the sale may have for this.</summary>
    protected abstract IReadOnlyList<SaleEventStanding> From { get; }

    public sealed override IEnumerable<Refusal> Permit(Sale state, Entry entry, ICited cited)
    {
        if (!From.Contains(state.Standing)) yield return NotNow(state.Standing);
        foreach (var refusal in PermitOn(state)) yield return refusal;
    }

    protected virtual IEnumerable<Refusal> PermitOn(Sale sale) => [];

    static Refusal NotNow(SaleEventStanding standing) => standing switch
    {
        SaleEventStanding.NotAnnounced => new("sale-not-announced", "The sale has not been announced.", "Announce it with its terms first."),
        SaleEventStanding.Announced => new("sale-not-open", "The sale is announced and has not begun.", "Open the sale first."),
        SaleEventStanding.Open => new("sale-begun", "The sale has begun.", "Terms stand as they were announced; close the sale when it ends."),
        _ => new("sale-over", "The sale is over.", "Announce another sale."),
    };
}

/// <summary>A command on a sale's stream.</summary>
public abstract record SaleCommand : Command<Sale>;
