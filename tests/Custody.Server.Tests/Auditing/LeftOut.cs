namespace Custody.Server.Tests.Auditing;

/// <summary>What no audit can see, or need not, each with its reason: the one list of it. Everything else that is stored is damaged by the matrix.</summary>
static class LeftOut
{
    /// <summary>Table, column or change (<c>*</c> for all), reason.</summary>
    static readonly (string Table, string What, string Why)[] All =
    [
        ("mt_event_progression", "*", "how far a rebuild has come; folds are made in the act's own transaction"),
        ("mt_event_projection_floors", "*", "as the progress of a rebuild"),
        ("mt_high_water_skips", "*", "as the progress of a rebuild; every row of the event table is read here, whatever is said to be skipped"),
        ("mt_doc_deadletterevent", "*", "events that a fold refused; none is kept, because a fold that refuses ends the act"),
        ("mt_events", "id", "Marten's own name for the row, used nowhere: an entry goes by its hash"),
        ("mt_events", "timestamp", "when the row was written, used nowhere: what counts is `recorded` in the bytes"),
        ("mt_streams", "timestamp", "when the row was written last, used nowhere"),
        ("mt_streams", "created", "when the row was made, used nowhere"),
        ("mt_streams", "type: emptied", "a stream that came back after a restore has none either; nothing is loaded by it"),
        ("custody_withheld", "row: left out", "a lost value looks like one that was never said: the decoys are there so that nobody can tell, and that is us too"),
        ("custody_answer", "key", "a word of whoever submitted; a row that is no longer found lets the submission be decided anew"),
        ("custody_answer", "request", "a digest of what was asked under a key that is not in the database: another one refuses the repetition"),
        ("custody_answer", "given", "when the answer was given, used nowhere"),
        ("custody_answer", "answer: exchanged with another row's", "an entry that is recorded, as it is; which submission it answers is known to whoever submitted"),
        ("custody_answer", "row: left out", "as a changed key"),
        ("custody_answer", "row: doubled", "the same answer twice"),
        ("custody_answer", "row: made up", "the answer is of an entry that is recorded, as it is"),
        ("custody_search_progress", "one", "there is one row, whatever it says"),
        ("custody_search_progress", "row: left out", "the index is looked through again from the beginning, and its rows are there"),
        ("custody_search_progress", "row: doubled", "the larger counts"),
        ("custody_search_progress", "row: made up", "the larger counts"),
        ("custody_cosigned_before", "row: left out", "an earlier checkpoint of another ledger; that ledger, and whoever it was published to, have it too"),
        ("custody_fork", "seen", "when the evidence came; it convicts whenever that was"),
        ("custody_fork", "row: left out", "evidence against another ledger; nothing else here knows of it, so keepers write it out"),
        ("mt_doc_*_state", "mt_last_modified", "when the row was written last, used nowhere"),
        ("custody_challenge", "*", "questions of buyers: digests that expire within days, no part of the ledger"),
        ("custody_holder_secret", "*", "digests of secrets by which holders answer; whoever may write here may also issue one"),
        ("custody_draft", "*", "findings not locked yet, no part of the ledger; under the bat's key, so that a changed one does not open"),
        ("custody_shared", "*", "links to dossiers: nothing here was ever signed, and each file opens only under the keys of what it shows"),
        ("custody_shared_open", "*", "a day and a number of opens, by link"),
        ("custody_paddle", "*", "who bids under which paddle; what a paddle bought stands in the ledger. Encrypted under the party's key, so that a changed one does not open"),
        ("custody_transfer", "*", "offers that nobody has confirmed, no part of the ledger; under the owner's key, so that a changed one does not open"),
    ];

    /// <summary>Schemas beside the ledger's, by the end of their name, and why the audit does not look at them.</summary>
    public static readonly IReadOnlyDictionary<string, string> Schemas = new Dictionary<string, string>(StringComparer.Ordinal)
    {
        ["_accounts"] = "who may sign in and act for which party: nothing of it was ever signed; what was done stands in the ledger under the party",
        ["_messages"] = "messages that wait; what they set going is recorded like any act, and judged then",
    };

    public static bool Is(string table, string what) => All.Any(l => IsOf(l.Table, table) && (l.What == "*" || what == l.What || what.StartsWith(l.What + ":", StringComparison.Ordinal)));

    /// <summary>Whether a whole table is left out.</summary>
    public static bool Is(string table) => Is(table, "*");

    public static IEnumerable<string> Told =>
        [.. All.Select(l => $"{l.Table} | {l.What} | not seen: {l.Why}\n"), .. Schemas.Select(s => $"schema *{s.Key} | * | not seen: {s.Value}\n")];

    static bool IsOf(string listed, string table) => listed == table || (listed == "mt_doc_*_state" && table.StartsWith("mt_doc_", StringComparison.Ordinal) && table.EndsWith("_state", StringComparison.Ordinal));

    /// <summary>Lines that name what is no more there.</summary>
    public static IEnumerable<string> Idle(IReadOnlyList<StoredTable> tables) => All.Where(l => tables.FirstOrDefault(t => IsOf(l.Table, t.Name)) is not { } table
        || !(l.What == "*" || l.What.StartsWith("row:", StringComparison.Ordinal) || table.Columns.Any(c => c.Name == l.What.Split(':')[0]))).Select(l => $"{l.Table} {l.What}");
}
