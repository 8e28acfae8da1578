using System.Text.Encodings.Web;
using System.Text.RegularExpressions;
using Custody.Bats;
using Custody.Server.Accounts;
using Custody.Server.Recording;
using Custody.Server.Web.Pages;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.Parties;

/// <summary>Takes a person or firm into the ledger; and answers, while a name is typed anywhere, whom it fits.</summary>
[MayUse(AccountRole.Registrar, AccountRole.Cataloguer, AccountRole.Examiner, AccountRole.Keeper)]
public sealed partial class NewPersonModel(Recorder recorder, PeopleDesk people) : ActPage(recorder)
{
    /// <summary>What the form says.</summary>
    public sealed class Asked
    {
        public string? Kind { get; set; } = nameof(PartyKind.Person);
        public string? Name { get; set; }
        public string? OtherNames { get; set; }
        public string? Address { get; set; }
        public string? Contact { get; set; }
        public string? IdentityShown { get; set; }
        public bool Another { get; set; }
    }

    [BindProperty]
    public Asked Input { get; set; } = new();

    /// <summary>Those of such a name, when the form was sent back because of them.</summary>
    public PeopleFound? Alike { get; private set; }

    public void OnGet()
    {
    }

    public async Task<IActionResult> OnPostAsync()
    {
        Needed(Text(Input.Name), "Input.Name", "Type the name as it shall stand in the ledger.");
        var kind = Word<PartyKind>(Input.Kind);
        Needed(kind, "Input.Kind", "Choose what they are.");
        if (!ModelState.IsValid) return Page();
        var key = Submission + "/person";
        // Sent twice, the person of the first time must not stand in the way of the second.
        if (!Input.Another && !await WasRecorded(key) && await people.Find(Input.Name, HttpContext.RequestAborted) is { People.Count: > 0 } alike)
        {
            Alike = alike;
            Refuse("Input.Another", "Somebody is recorded under such a name.", "Use them, or say that this is somebody else.");
            return Page();
        }
        string[] others = [.. (Input.OtherNames ?? "").Split('\n').Select(Text).OfType<string>()];
        RecordParty command = new(kind!.Value, Text(Input.Name)!, others.Length == 0 ? null : others, Text(Input.Address), Text(Input.Contact), Text(Input.IdentityShown)) { By = PartyId.Ledger };
        var (party, refused) = await people.Record(command, key, HttpContext.RequestAborted);
        if (party is not null) return Done($"{command.Name} is recorded, and is found by name in every form.", "/people/new");
        // A corrected form is another submission.
        Renew();
        Refuse("", refused!.Sentence, refused.Remedy);
        return Page();
    }

    /// <summary>Whom a name fits, for the part of a form that is asking: only that part.</summary>
    /// <param name="field">Name of the form's field.</param>
    /// <param name="own">Whether the viewer's own party is offered.</param>
    public async Task<IActionResult> OnPostSuggestAsync(string? field, bool own)
    {
        if (field is null || !FieldName().IsMatch(field)) return BadRequest();
        PersonTyped typed = new() { Name = Request.Form[field + ".Name"] };
        if (typed.Name is { Length: > PersonTyped.Longest }) return BadRequest();
        var found = string.IsNullOrWhiteSpace(typed.Name) ? null : await people.Find(typed.Name, HttpContext.RequestAborted);
        var always = await PersonTagHelper.Always(own ? Viewer : null, people, HttpContext.RequestAborted);
        using StringWriter html = new();
        PeopleList.Write(field, PersonTagHelper.IdOf(field), typed, found, null, always).WriteTo(html, HtmlEncoder.Default);
        return Content(html.ToString(), "text/html; charset=utf-8");
    }

    [GeneratedRegex(@"\A[A-Za-z][A-Za-z0-9.\[\]]{0,79}\z")]
    private static partial Regex FieldName();
}
