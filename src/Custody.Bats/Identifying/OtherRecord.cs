namespace Custody.Bats;

/// <summary>Facts that link two records of this ledger find the other one by exact reference.</summary>
static class OtherRecord
{
    /// <summary>The refusals when the cited entry is not a fact of type <typeparamref name="TFact"/> on another bat's stream
    /// here.</summary>
    public static IEnumerable<Refusal> Refuse<TFact>(Entry entry, Reference other, ICited cited) where TFact : Fact
    {
        // A reference names the ledger only when it is another one.
        if (other.Ledger is not null)
            yield return new("other-ledger", "The entry stands in another ledger.", "Say that the history continues there.");
        else if (other.Stream == entry.Envelope.Stream || other.Stream.Kind != "bat")
            yield return new("not-another-bat", "The entry is not of another bat.", "Cite an entry of the other bat.");
        else if (cited.Find(other) is not { } found)
            yield return new("cited-not-found", "The cited entry is not in the ledger before this one.",
                "Cite an entry by its exact stream, number and hash.");
        else if (found.Fact is not TFact)
            yield return new("cited-wrong-kind", $"The cited entry is not a {Fact.NameOf(typeof(TFact))}.",
                "Cite the entry that this act builds on.");
    }

    /// <summary>The cited fact; null when <see cref="Refuse"/> refuses.</summary>
    public static TFact? Find<TFact>(Reference other, ICited cited) where TFact : Fact => cited.Find(other)?.Fact as TFact;

    /// <summary>True when the reference is to this very record's registration.</summary>
    public static bool IsRegistrationOf(Bat bat, Reference reference) =>
        reference.Ledger is null && reference.N == 1 && reference.Stream.ToString() == bat.Id && reference.Hash == bat.Registration?.Hash;
}
