namespace Custody.Ledger;

/// <summary>What must be said wherever a history is shown. One wording for page, command and read-me.</summary>
public static class Cautions
{
    public static IReadOnlyList<string> Said { get; } =
    [
        "This proves a history. It does not prove that whoever shows it owns or holds the bat.",
        "Title is always title as asserted. An opinion is not a warranty of authorship, value or title.",
        "What is told here, such as received, consigned or an opinion given, is the word of the house that recorded it, unless someone else has signed it too.",
        "Aliases such as p1 belong to this history alone. One person should have one alias; that can only be seen where names are shown.",
        "Title disputes, stolen property, auction, consumer, tax, export and privacy law belong to licensed practice and to local law.",
        "Old bats can carry lead paint, splinters, mould or treated tape: handle with the usual caution.",
    ];

    public static IReadOnlyList<string> BeforePaying { get; } =
    [
        "Ask the holder to answer a challenge of yours through the ledger's own site: only that can show that they hold the bat for its owner.",
        "Ask the ledger online whether anything was recorded after the last entry here: a hold, a claim, a sale.",
        "Ask for what is withheld and matters to you: the fields are listed by name, and whatever is shown later can be checked against this history.",
        "Get the ledger's key from somewhere else than this dossier, and the checker from somewhere else than whoever hands you this.",
        "Compare the bat in hand with what is recorded of it: measurements, grain, marks. A label can be moved or copied by anyone who saw it.",
    ];
}
