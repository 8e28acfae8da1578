using System.Collections.Immutable;

namespace Custody.Bats;

/// <summary>One dossier's own stream. It never stands on the bat: four failed resales are not the next buyer's to read.</summary>
public sealed record DossierState : StreamState<DossierState>
{
    /// <summary>The bat's entry up to which the dossier tells; null before it was issued.</summary>
    public Reference? TellsUpTo { get; init; }
}

/// <summary>A fact on a dossier's stream.</summary>
public abstract record DossierFact : Fact<DossierState>;

/// <summary>A command on a dossier's stream.</summary>
public abstract record DossierCommand : Command<DossierState>
{
    /// <summary>A dossier made from the keeper's command line is handed out by the ledger itself; one asked for by a party, by that party.</summary>
    public sealed override bool LedgerSpeaks => By == PartyId.Ledger;
}
