using Custody.Server.Accounts;
using Custody.Server.Web.Pages;
using Microsoft.AspNetCore.Mvc.Rendering;
using Microsoft.AspNetCore.Mvc.ViewFeatures;
using Microsoft.AspNetCore.Razor.TagHelpers;

namespace Custody.Server.Parties;

/// <summary>A person or firm, chosen by name: <c>&lt;person for="Input.To" label="To whom" /&gt;</c> over a <see cref="PersonTyped"/>, read by <see cref="ActPage.Person"/>.
/// Whom the name fits is suggested while it is typed; without script the button beside it looks them up and records nothing. What is typed goes in the
/// body of a request, never in an address.</summary>
[HtmlTargetElement("person", Attributes = "for", TagStructure = TagStructure.NormalOrSelfClosing)]
public sealed class PersonTagHelper(PeopleDesk people) : TagHelper
{
    [HtmlAttributeName("for")]
    public required ModelExpression For { get; set; }

    public required string Label { get; set; }

    public string? Hint { get; set; }

    /// <summary>Offers the party for which whoever is signed in acts.</summary>
    public bool Own { get; set; }

    /// <summary>Offers to choose nobody, in these words.</summary>
    public string? Nobody { get; set; }

    [ViewContext, HtmlAttributeNotBound]
    public required ViewContext ViewContext { get; set; }

    public static string IdOf(string field) => "f-" + TagBuilder.CreateSanitizedId(field, "-");

    public override async Task ProcessAsync(TagHelperContext context, TagHelperOutput output)
    {
        var (http, field, typed) = (ViewContext.HttpContext, For.Name, For.Model as PersonTyped ?? new PersonTyped());
        var id = IdOf(field);
        var errors = ViewContext.ModelState.TryGetValue(field, out var state) ? state.Errors : [];
        output.TagName = "div";
        output.TagMode = TagMode.StartTagAndEndTag;
        output.Attributes.Clear();
        output.Attributes.SetAttribute("class", "field person" + (errors.Count > 0 ? " bad" : ""));

        TagBuilder input = new("input") { TagRenderMode = TagRenderMode.SelfClosing }, list = new("div");
        string[] described = [.. Hint is null ? Array.Empty<string>() : [id + "-hint"], .. errors.Count == 0 ? Array.Empty<string>() : [id + "-error"]];
        foreach (var (name, value) in new (string, string?)[]
        {
            ("id", id), ("name", field + ".Name"), ("value", typed.Name), ("maxlength", "200"), ("dir", "auto"), ("autocomplete", "off"), ("spellcheck", "false"),
            ("aria-describedby", described.Length > 0 ? string.Join(' ', described) : null), ("aria-invalid", errors.Count > 0 ? "true" : null),
            ("hx-post", $"/people/new?handler=Suggest&field={Uri.EscapeDataString(field)}{(Own ? "&own=true" : "")}"), ("hx-trigger", "input changed delay:200ms"),
            ("hx-target", $"#{id}-found"), ("hx-params", $"__RequestVerificationToken,{field}.Name"), ("hx-sync", "this:replace"),
        })
            if (value is not null) input.Attributes[name] = value;

        list.MergeAttributes(new Dictionary<string, string?> { ["id"] = id + "-found", ["class"] = "people", ["role"] = "radiogroup", ["aria-label"] = $"{Label}: who is meant", ["aria-live"] = "polite" });
        var chosen = typed.Party is { Length: > 0 } party && party != PersonTyped.New && Examining.BatParties.Read(party) is { } known ? await people.Known(known, http.RequestAborted) : null;
        var found = string.IsNullOrWhiteSpace(typed.Name) ? null : await people.Find(typed.Name, http.RequestAborted);
        if (chosen is not null && found?.People.All(p => p.Party != chosen.Party) != false) found = new([chosen, .. found?.People ?? []], found?.More ?? false);
        List<(string, string, string?)> always = [.. await Always(Own ? Viewer.Of(http.User) : null, people, http.RequestAborted)];
        if (Nobody is not null) always.Add(("", Nobody, null));
        list.InnerHtml.AppendHtml(PeopleList.Write(field, id, typed, found, typed.Party ?? (Nobody is null ? null : ""), always));

        output.Content.AppendHtml(Text("label", Label, ("for", id)));
        if (Hint is not null) output.Content.AppendHtml(Text("p", Hint, ("class", "hint"), ("id", id + "-hint")));
        TagBuilder line = Text("div", null, ("class", "typed"));
        line.InnerHtml.AppendHtml(input).AppendHtml(LookUp(field));
        output.Content.AppendHtml(line).AppendHtml(list);
        if (errors.Count > 0) output.Content.AppendHtml(Text("p", string.Join(' ', errors.Select(e => e.ErrorMessage)), ("class", "error"), ("id", id + "-error")));
    }

    /// <summary>The choice that stands there always: whom the viewer acts for.</summary>
    internal static async Task<IEnumerable<(string, string, string?)>> Always(Viewer? viewer, PeopleDesk people, CancellationToken ct) =>
        viewer?.Party is { } own && await people.Known(own, ct) is { } us ? [(own.ToString(), us.Name, "for whom you act")] : [];

    // Only where nothing looks the name up by itself.
    static TagBuilder LookUp(string field)
    {
        var button = Text("button", "Look the name up", ("class", "second"), ("name", nameof(ActPage.LookedUp)), ("value", field), ("formnovalidate", "formnovalidate"));
        if (!Assets.Has("htmx.js")) return button;
        TagBuilder without = new("noscript");
        without.InnerHtml.AppendHtml(button);
        return without;
    }

    static TagBuilder Text(string tag, string? text, params (string Name, string? Value)[] attributes)
    {
        TagBuilder element = new(tag);
        foreach (var (name, value) in attributes)
            if (value is not null) element.Attributes[name] = value;
        if (text is not null) element.InnerHtml.Append(text);
        return element;
    }
}
