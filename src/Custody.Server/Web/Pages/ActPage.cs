using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Accounts;
using Custody.Server.Parties;
using Custody.Server.Recording;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Mvc.RazorPages;

namespace Custody.Server.Web.Pages;

/// <summary>A page whose form records an act. It reads what was typed, asks the recorder, and shows refusals beside the fields; no rule stands here. The
/// form carries <c>Submission</c>, so that sending it twice records once, and <c>Seen</c>, so that an act on a history that has moved on is told.</summary>
public abstract class ActPage(Recorder recorder) : PageModel
{
    /// <summary>Where the next page finds what was done, in words.</summary>
    public const string DoneKey = "done";

    /// <summary>Names this submission. Made when the form is shown.</summary>
    [BindProperty]
    public string Submission { get; set; } = Guid.NewGuid().ToString("N");

    /// <summary>Number of the stream's last entry that the person saw; null where that does not matter.</summary>
    [BindProperty]
    public long? Seen { get; set; }

    /// <summary>Set by the button that looks a name up: the page comes back with whom it fits, and nothing is recorded or refused.</summary>
    [BindProperty]
    public string? LookedUp { get; set; }

    /// <summary>Who is signed in. Pages that record are never open to anybody.</summary>
    protected Viewer Viewer => Viewer.Of(User)!;

    /// <summary>The party the act is by; refused in the form when the account acts for none.</summary>
    protected PartyId? Acting()
    {
        if (Viewer.Party is null) Refuse("", "Your account acts for nobody in this ledger.", "Ask the keeper to say for whom.");
        return Viewer.Party;
    }

    /// <summary>Records a command. Null when it was refused: the reasons stand in the form, and the page is to be shown again as it was typed.</summary>
    protected Task<Recorded?> Record(StreamName stream, Command command) => Record([new Step(stream, command)]);

    /// <summary>Records an act of several steps: all or nothing.</summary>
    protected async Task<Recorded?> Record(IReadOnlyList<Step> steps)
    {
        if (LookedUp is not null)
        {
            foreach (var field in ModelState.Values) field.Errors.Clear();
            return null;
        }
        if (!ModelState.IsValid) return null;
        switch (await recorder.Record(steps, new Request(Submission, Seen), HttpContext.RequestAborted))
        {
            case Recorded recorded:
                return recorded;
            case Refused refused:
                if (refused.Refusals is [{ Code: "key-used-before" }]) SentBefore();
                else
                    foreach (var refusal in refused.Refusals) Refuse(FieldOf(refusal.Code), refusal.Sentence, refusal.Remedy);
                return null;
            case Conflicted:
                Refuse("", "Somebody else recorded something here while you were writing.", "What you typed is kept below. Read what is new, then send it again.");
                Seen = null;
                ModelState.Remove(nameof(Seen));
                Renew();
                return null;
            default:
                Refuse("", "There is no such record in this ledger.", "Look the number up again.");
                return null;
        }
    }

    /// <summary>Whether a submission of this name was recorded before: then it is sent again, and gets its first answer.</summary>
    protected Task<bool> WasRecorded(string key) => recorder.WasAnswered(key, HttpContext.RequestAborted);

    /// <summary>Goes to another page and says there what was done.</summary>
    protected IActionResult Done(string said, string address)
    {
        TempData[DoneKey] = said;
        return LocalRedirect(address);
    }

    /// <summary>The field that a refusal is about, by its code; empty for the form as a whole.</summary>
    protected virtual string FieldOf(string code) => "";

    protected void Refuse(string field, string sentence, string remedy) => ModelState.AddModelError(field, $"{sentence} {remedy}");

    // Brought back by the back button and changed: what it said first stands, and is not taken for what it says now.
    void SentBefore()
    {
        Refuse("", "This form was sent before, and what it said then is recorded.", "Look at what stands here now; send it again only to record one thing more.");
        Renew();
    }

    /// <summary>A new name for the next submission: a refused one that was typed again is another.</summary>
    protected void Renew()
    {
        Submission = Guid.NewGuid().ToString("N");
        ModelState.Remove(nameof(Submission));
    }

    /// <summary>Text, or null when nothing was typed.</summary>
    protected static string? Text(string? said) => Typed.Text(said);

    /// <summary>A date as typed (EDTF); null when nothing was typed or it cannot be read, which is then said.</summary>
    protected Edtf? Date(string? said, string field)
    {
        if (Text(said) is not { } text) return null;
        if (Edtf.TryParse(text, out var date, out var refusal)) return date;
        Refuse(field, refusal.Sentence, refusal.Remedy);
        return null;
    }

    /// <summary>A measurement as typed, with its UCUM unit.</summary>
    protected Quantity? Measure(string? said, string unit, string field)
    {
        if (Text(said) is not { } text) return null;
        if (Quantity.TryParse(text.Replace(',', '.'), unit, out var quantity, out var refusal)) return quantity;
        Refuse(field, refusal.Sentence, refusal.Remedy);
        return null;
    }

    /// <summary>An amount of money as typed, with its ISO 4217 code.</summary>
    protected Money? Amount(string? said, string currency, string field)
    {
        if (Text(said) is not { } text) return null;
        if (Money.TryParse(text, currency, out var money, out var refusal)) return money;
        Refuse(field, refusal.Sentence, refusal.Remedy);
        return null;
    }

    /// <summary>Whom a <c>&lt;person&gt;</c> field means. Somebody new is recorded now, so ask for people last: when something else was refused nobody is recorded.</summary>
    /// <param name="needed">Said when nobody is named; null when the field may stay empty.</param>
    protected async Task<PartyId?> Person(PeopleDesk people, PersonTyped? typed, string field, string? needed = null)
    {
        if (LookedUp is not null || typed is null) return null;
        var (party, refused) = await people.Read(typed, Viewer.Party, ModelState.IsValid ? $"{Submission}/{field}" : null, HttpContext.RequestAborted);
        if (refused is not null) Refuse(field, refused.Sentence, refused.Remedy);
        else if (party is null && needed is not null && typed.Party != PersonTyped.New) Refuse(field, needed, "Type the name and choose.");
        return party;
    }

    /// <summary>The word chosen; null when none was, or something that is none.</summary>
    protected static T? Word<T>(string? said) where T : struct, Enum => Typed.Word<T>(Text(said));

    /// <summary>The word chosen; null when none was, or something that is none, which is then said.</summary>
    protected T? Word<T>(string? said, string field) where T : struct, Enum
    {
        if (Text(said) is null || Word<T>(said) is { } word) return Word<T>(said);
        Refuse(field, "This is none of the words to choose from.", "Choose one of them.");
        return null;
    }

    /// <summary>The words that were ticked, each once; what is none is passed over.</summary>
    protected static IReadOnlyList<T> Ticked<T>(IEnumerable<string> said) where T : struct, Enum => Typed.Words<T>(said);

    /// <summary>The number of an entry; null for anything else.</summary>
    protected static long? Entry(string? said) => Typed.Whole(said);

    /// <summary>Why these fields were refused, as they stand in one fold of a page: it opens again when there is something.</summary>
    public string? Wrong(params string[] fields) =>
        string.Join(' ', fields.SelectMany(f => ModelState.TryGetValue(f, out var state) ? state.Errors : []).Select(e => e.ErrorMessage)) is { Length: > 0 } said ? said : null;

    /// <summary>What must not be left out. A field that was refused already is not refused twice.</summary>
    protected void Needed(object? value, string field, string sentence)
    {
        if (value is null && ModelState[field] is not { Errors.Count: > 0 }) Refuse(field, sentence, "");
    }
}
