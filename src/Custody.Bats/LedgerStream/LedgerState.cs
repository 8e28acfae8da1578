using System.Collections.Immutable;

namespace Custody.Bats;

/// <summary>What the ledger says of itself: its name, its keys, its rules.</summary>
public sealed record LedgerState : StreamState<LedgerState>
{
    public string Origin { get; init; } = "";

    /// <summary>The key that signs now, as verifier key text.</summary>
    public string Key { get; init; } = "";

    /// <summary>SHA-256 of the next key's text, 43 base64url characters: promised before it is used.</summary>
    public string NextKey { get; init; } = "";

    /// <summary>Earlier keys, by the tree size up to which their checkpoints count.</summary>
    public ImmutableList<EarlierKey> EarlierKeys { get; init; } = [];

    /// <summary>Hash of the published text, by rule set.</summary>
    public ImmutableSortedDictionary<int, string> RuleTexts { get; init; } = ImmutableSortedDictionary<int, string>.Empty;
}

/// <summary>A key that no longer signs.</summary>
/// <param name="UpTo">Tree size of the rotation.</param>
/// <param name="Compromised">After a compromise its checkpoints count only if cosigned or time-stamped before.</param>
public sealed record EarlierKey(string Key, long UpTo, bool Compromised);

/// <summary>A fact of the ledger about itself. The ledger speaks: no party is named and nobody is introduced.</summary>
public abstract record LedgerFact : Fact<LedgerState>
{
    public sealed override IEnumerable<Refusal> Permit(LedgerState state, Entry entry, ICited cited)
    {
        if (entry.Envelope.By is not null || Parties is not null)
            yield return new("ledger-speaks-itself", "Entries about the ledger are by the ledger.", "Name no party here.");
        if (!state.Exists && this is not LedgerOpened)
            yield return new("ledger-not-opened", "The ledger's first entry opens it.", "Open the ledger first.");
        else
            foreach (var refusal in PermitOn(state, entry)) yield return refusal;
    }

    protected abstract IEnumerable<Refusal> PermitOn(LedgerState ledger, Entry entry);
}

/// <summary>A command on the ledger's own stream.</summary>
public abstract record LedgerCommand : Command<LedgerState>
{
    public sealed override bool LedgerSpeaks => true;
}
