namespace Custody.Bats;

/// <summary>The bat's registration. <see cref="ShortNumber"/> is the number people read aloud, with its check character.</summary>
public sealed record Registration(string ShortNumber, bool Voided)
{
    /// <summary>Who registered it; null when the ledger did.</summary>
    public Alias? By { get; init; }

    /// <summary>When it was registered: of two records of one bat the older goes on.</summary>
    public DateTimeOffset Recorded { get; init; }

    /// <summary>Hash of the registration's entry; other records name this one by it.</summary>
    public string Hash { get; init; } = "";
}
