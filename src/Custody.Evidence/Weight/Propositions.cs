namespace Custody.Evidence.Weight;

/// <summary>Propositions from templates. Always in a pair: what is said is never how likely one is, but how much better one explains the findings.</summary>
/// <remarks>Levels after Cook, Evett, Jackson, Jones and Lambert (1998), a hierarchy of propositions; the pair as the ENFSI guideline asks (balance).</remarks>
public static class Propositions
{
    /// <summary>The proposition of a level in words.</summary>
    public static string Text(ProposedLevel level) => level switch
    {
        ProposedLevel.MadeForProfessionalUse => "The bat was made for professional use.",
        ProposedLevel.OrderedForHim => "The bat was ordered for the named player.",
        ProposedLevel.UsedInPlay => "The bat was used in play by a professional.",
        ProposedLevel.UsedByHim => "The named player used the bat in play.",
        _ => "The named player used the bat on the named occasion.",
    };

    /// <summary>The alternative in words.</summary>
    public static string Text(WeighedAgainst against) => against switch
    {
        WeighedAgainst.UsedByAnotherProfessional => "Another professional used the bat in play.",
        _ => "The bat was prepared later to resemble the named player's.",
    };

    /// <summary>
    /// The refusal of a list of pairs: <c>propositions-missing</c>, <c>pair-weighed-twice</c>, <c>alternative-missing</c>,
    /// <c>level-not-weighed-by-habits</c>; null when it can be weighed.
    /// </summary>
    public static EvidenceRefusal? Refuse(IReadOnlyList<PropositionPair> pairs) =>
        pairs.Count == 0 ? new("propositions-missing", "Nothing is proposed.", "Give a pair of propositions: weight is never of one alone.")
        : pairs.Distinct().Count() != pairs.Count ? new("pair-weighed-twice", "One pair of propositions stands twice.", "Weigh each pair once.")
        : pairs.Any(p => p.Level != ProposedLevel.UsedByHim)
            ? new("level-not-weighed-by-habits", "Habits bear on whether he used the bat, and on no other level.", "Weigh \"used by him\"; other levels rest on records and pictures.")
        : Enum.GetValues<WeighedAgainst>().Any(a => pairs.All(p => p.Against != a))
            ? new("alternative-missing", "One of the two alternatives is missing.", "Weigh against another professional's use and against later preparation.")
        : null;
}
